"""Where it is kept: SQLite and PostgreSQL, the schema's revision, backup and restore, the check of what is stored."""
