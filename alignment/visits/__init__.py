"""Visits to the rack: readings, conditions, tables, comparison."""
