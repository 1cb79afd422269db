"""One page for a walk-in: who, which car, what for, what to mount, and whether it clears."""
