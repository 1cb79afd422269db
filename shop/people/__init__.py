"""Customers, vehicles, staff and other records."""
