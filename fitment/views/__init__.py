"""Pages of fitment."""
