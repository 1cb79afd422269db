"""Windows: over which offsets, spacers and section widths a corner clears."""
