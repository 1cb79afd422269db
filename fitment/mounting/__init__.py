"""Mounting checks, fitment tables, the shop's limits and earlier jobs."""
