"""From readings at the car to points in the corner's frame."""
