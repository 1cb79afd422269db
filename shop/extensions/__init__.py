"""Where apps plug into one another: what they exchange, and the points that they fill at start."""
