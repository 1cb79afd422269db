"""The search of every page: one field, all records."""
