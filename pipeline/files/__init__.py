"""Names of files, files written whole, and which files are sheets."""
