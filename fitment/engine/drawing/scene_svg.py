"""Scene to SVG text for a page: classes only, since the site's policy allows no inline style."""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape

from fitment.engine.drawing.scene import (
    LINE_HEIGHT_EM,
    Fill,
    Hatch,
    Mark,
    Point,
    Scene,
    Stroke,
    Text,
    Words,
)

_ID = re.compile(r"[A-Za-z][A-Za-z0-9_-]*\Z")


def scene_svg(scene: Scene, *, id_prefix: str) -> str:
    """A lettered drawing as one ``<svg>`` element that scales to the width it is given.

    ``id_prefix`` begins every id in it, so that several drawings can share a page. Raises
    ValueError if it could not begin an id, and TypeError for a scene that is not lettered.
    """
    if not _ID.match(id_prefix):
        raise ValueError(f"not usable as the beginning of an id: {id_prefix!r}")
    left, _, _, top = scene.viewport
    title_id, desc_id = f"{id_prefix}-title", f"{id_prefix}-desc"
    body = "\n".join(_mark(mark, left, top) for mark in scene.marks())
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="scene" role="img"'
        f' viewBox="0 0 {_n(scene.width_mm)} {_n(scene.height_mm)}"'
        f' aria-labelledby="{title_id}" aria-describedby="{desc_id}">\n'
        f'<title id="{title_id}">{_escaped(scene.title)}</title>\n'
        f'<desc id="{desc_id}">{" ".join(map(_escaped, scene.description))}</desc>\n'
        f"{body}\n</svg>"
    )


def _mark(mark: Mark, left: float, top: float) -> str:
    match mark:
        case Stroke():
            data = _path(mark.points, left, top) + ("Z" if mark.closed else "")
            spot = f' data-spot="{escape(mark.spot)}"' if mark.spot else ""
            return f'<path class="{mark.style}"{spot} d="{data}"/>'
        case Fill():
            data = "".join(_path(ring, left, top) + "Z" for ring in mark.rings)
            return f'<path class="{mark.style}" fill-rule="evenodd" d="{data}"/>'
        case Hatch():
            data = "".join(_path(segment, left, top) for segment in mark.segments)
            return f'<path class="{mark.style}" d="{data}"/>'
        case Words():
            if not mark.lines:
                return ""
            return _words(mark, left, top)


def _words(words: Words, left: float, top: float) -> str:
    """One text element; line distances are in em, so that the style sheet may size it."""
    x = _n(words.at[0] - left)
    first = 0.35 - (len(words.lines) - 1) / 2 * LINE_HEIGHT_EM
    spans = "".join(
        f'<tspan class="{style}" x="{x}" dy="{_n(first if i == 0 else LINE_HEIGHT_EM)}em">'
        f"{_escaped(text)}</tspan>"
        for i, (text, style) in enumerate(words.lines)
    )
    y = _n(top - words.at[1])
    return f'<text class="words" text-anchor="{words.anchor}" y="{y}">{spans}</text>'


def _escaped(text: Text) -> str:
    if not isinstance(text, str):
        raise TypeError(f"a drawing is lettered before it is written: {text}")
    return escape(text)


def _path(points: Iterable[Point], left: float, top: float) -> str:
    return "M" + "L".join(f"{_n(x - left)} {_n(top - y)}" for x, y in points)


def _n(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
