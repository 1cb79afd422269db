"""Work orders: states, gates, work, parts, cautions and their pages."""
