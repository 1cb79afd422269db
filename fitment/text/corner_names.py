"""A corner's name as a page says it."""

from __future__ import annotations

from common.corners import CORNER_NAMES
from shop.languages import speech_of_page


def corner_said(corner: str) -> str:
    """ "front left", in the language of the page."""
    return speech_of_page().say(CORNER_NAMES[corner])
