"""Readings in tables of other programs: read by a map of columns, and written as CSV and JSON."""
