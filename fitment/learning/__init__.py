"""What comebacks say about earlier predictions."""
