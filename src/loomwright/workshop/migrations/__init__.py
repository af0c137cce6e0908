"""The database from version to version."""
