"""A job as the checks ask about it: its car, its inputs, and whether a check still holds."""
