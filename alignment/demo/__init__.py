"""The demo shop's plans, visits and targets."""
