"""German: customers are addressed as Sie; the trade's own words are kept.

Names of places that people type into surveys are in ``places``: what it lacks stands as typed.
"""

from __future__ import annotations

from collections.abc import Mapping

from shop.languages.german import (
    cautions,
    gates,
    mounting,
    page,
    places,
    room,
    rules,
    sheet,
)

WORDS: Mapping[str, str] = {
    **places.WORDS,
    **sheet.WORDS,
    **room.WORDS,
    **cautions.WORDS,
    **rules.WORDS,
    **mounting.WORDS,
    **gates.WORDS,
    **page.WORDS,
}
#: Words that are only looked up and never demanded.
GLOSSARY: Mapping[str, str] = places.WORDS
