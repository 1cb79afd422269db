"""The page of one order, gathered from every capability."""
