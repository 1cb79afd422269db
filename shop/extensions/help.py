"""What the "?" of a page says: two sentences, a picture, and the page's own words explained."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class PageHelp:
    """Help of some routes. ``text`` is marked for translation; ``picture`` names a template in
    ``templates/help/``; ``words`` are keys of ``shop.languages.own_words``."""

    routes: tuple[str, ...]
    text: str
    picture: str
    words: tuple[str, ...] = ()
