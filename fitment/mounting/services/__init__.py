"""Wheels of an order and the mounting checks: facts, record, choice."""
