"""A vehicle's readings over its visits."""
