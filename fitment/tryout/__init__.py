"""Set-ups that are tried without being kept, and the search for options that clear."""
