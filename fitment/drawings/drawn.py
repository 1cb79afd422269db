"""Scenes as drawings that a page can show as they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe

from fitment.engine.drawing.scene import Scene, Text
from fitment.engine.drawing.scene_svg import scene_svg


@dataclass(frozen=True)
class Drawing:
    """A drawing with its title and the lines below it."""

    title: Text
    svg: SafeString
    legend: tuple[Text, ...]


def svg_of(scene: Scene, *, id_prefix: str) -> SafeString:
    """A scene as SVG for a page; our own writer escapes every word in it."""
    return mark_safe(scene_svg(scene, id_prefix=id_prefix))  # noqa: S308


def drawn(scenes: Sequence[Scene], *, id_prefix: str) -> Iterator[Drawing]:
    """Drawings of one page, whose ids begin with ``id_prefix`` and their number."""
    for count, scene in enumerate(scenes):
        yield Drawing(scene.title, svg_of(scene, id_prefix=f"{id_prefix}-{count}"), scene.legend)
