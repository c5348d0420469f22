"""The DuckDB store: open, lock, named queries, typed readers."""
