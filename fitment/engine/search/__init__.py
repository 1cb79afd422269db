"""The search for options that clear."""
