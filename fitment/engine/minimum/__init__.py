"""The least clearance of every spot over the whole envelope."""
