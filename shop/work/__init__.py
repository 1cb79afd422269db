"""The work at the car: parts, torques, road tests, hand-over and comebacks."""
