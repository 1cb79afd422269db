"""Bays and appointments."""
