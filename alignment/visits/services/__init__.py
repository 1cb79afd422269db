"""Visits to the rack: saved, and what follows from their readings."""
