"""Pages of planned settings and of visits to the rack."""
