"""What a customer reads and signs."""
