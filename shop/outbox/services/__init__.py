"""Writing mail down, handing it to the server, and following what becomes of it."""
