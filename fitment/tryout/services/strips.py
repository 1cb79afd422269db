"""The two strips of a set-up: over which offsets, spacers and section widths it clears.

Asked of the same corners as the answer, by the check itself; what was worked out lately is kept in
this process.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from django.utils.safestring import SafeString

from alignment.text.render import Reader, render
from common.message import message
from fitment.drawings.drawn import svg_of
from fitment.engine.drawing.scene import Scene, Text
from fitment.engine.drawing.window_drawing import window_scene
from fitment.engine.windows.data import NoWindow, Window
from fitment.engine.windows.search import offset_window, width_window
from fitment.text.lettering import letter_for, lettered_for, plot_unit
from fitment.text.render import corners_text
from fitment.tryout.data import Side
from fitment.tryout.services.trial import setting_asked
from shop.languages import speech_of_page

#: Set-ups whose strips one process keeps.
KEPT = 32


@dataclass(frozen=True)
class Strip:
    """A window as it is shown: its drawing, the lines below it, and what it says in words."""

    quantity: str
    svg: SafeString
    legend: tuple[Text, ...]


def strips_of(sides: tuple[Side, ...]) -> list[Strip]:
    """The offset window and, unless the section was traced, the width window of an axle."""
    reader = Reader(speech_of_page())
    names = tuple(corners_text(side.corners, reader) for side in sides)
    found = []
    for window in windows_of(tuple(side.key for side in sides)):
        scene = strip_scene(window, names, reader)
        svg = svg_of(scene, id_prefix=f"window-{window.quantity}")
        found.append(Strip(window.quantity, svg, scene.legend))
    return found


def strip_scene(window: Window, names: tuple[str, ...], reader: Reader) -> Scene:
    """A window drawn and lettered for one reader, for screen and paper alike."""
    title = message(f"window.title-{window.quantity}", corner=", ".join(names))
    scene = window_scene(
        window,
        title=render(title, reader),
        letter=letter_for(reader),
        sides=names,
        unit=plot_unit(reader),
    )
    return lettered_for(scene, reader)


@lru_cache(maxsize=KEPT)
def windows_of(keys: tuple[str, ...]) -> tuple[Window, ...]:
    """Windows of the corners that were asked, by the keys of their sides."""
    settings = [setting_asked(key) for key in keys]
    offsets = offset_window(settings)
    try:
        return offsets, width_window(settings)
    except NoWindow:
        return (offsets,)
