"""What changes several rows at once, and the way from rows to the engine and back."""
