"""How documents of older shapes become today's, by what they are of; see ``schemas.py``."""
