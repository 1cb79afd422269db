"""Labels of alignment for people."""
