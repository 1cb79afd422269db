"""What an axle is to be set to."""
