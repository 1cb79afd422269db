"""Texts that have to fit: what is cut off is seen to be."""

from __future__ import annotations

CUT = "…"


def shortened(text: str, most: int) -> str:
    """A text of at most ``most`` characters; one that was cut ends in an ellipsis."""
    return text if len(text) <= most else text[: most - 1] + CUT
