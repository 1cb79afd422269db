"""Whether wheel and tyre may be mounted: rules with their sources."""
