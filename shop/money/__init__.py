"""Amounts, quotes and their pages."""
