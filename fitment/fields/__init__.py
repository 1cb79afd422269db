"""Form fields that several capabilities of fitment share."""
