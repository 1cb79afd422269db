"""From readings to what is adjusted, and back to what came of it."""
