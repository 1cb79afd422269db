"""Standard uncertainty of a clearance, and what changes it."""
