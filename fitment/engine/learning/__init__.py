"""What a shop's own jobs teach about one spot of one car model's corner."""
