"""Charts: each a function from frames and records to an Altair chart; none touches a file or the store."""
