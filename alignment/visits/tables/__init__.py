"""Readings in tables of other programs: read by an import layout, and written as CSV and JSON."""
