"""Form fields and parsers that the capabilities of alignment share."""
