"""Finding customers and vehicles as they are typed, and merging those that are kept twice."""
