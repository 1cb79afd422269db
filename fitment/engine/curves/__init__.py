"""What a corner does over travel and steering, as curves and a clearance map."""
