"""From readings to adjustments, and from adjustments to the readings after them."""
