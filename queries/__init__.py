"""The SQL of the project, one table or one question a file, loaded by name."""
