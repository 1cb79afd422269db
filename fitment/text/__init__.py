"""Sentences and labels of fitment for people."""
