"""Drawings as scenes, for screen and paper."""
