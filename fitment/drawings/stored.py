"""Drawings kept with a check: a scene as plain JSON and back, so that an old check still
looks as it did on its day after the drawing code has changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from common.message import Message, message_dump, message_load
from fitment.engine.drawing import scene as scenes
from fitment.engine.drawing.scene import Scene

_KINDS: dict[str, type] = {
    kind.__name__: kind
    for kind in (
        scenes.Stroke,
        scenes.Fill,
        scenes.Hatch,
        scenes.Words,
        scenes.Dimension,
        scenes.ScaleBar,
        scenes.Scene,
    )
}


def scene_dump(scene: Scene) -> dict[str, Any]:
    """A scene as JSON; lengths are rounded to a hundredth of a millimetre."""
    dumped: dict[str, Any] = _dump(scene)
    return dumped


def scene_load(document: Mapping[str, Any]) -> Scene:
    """A scene from what :func:`scene_dump` made. Raises ValueError if it is something else."""
    loaded = _load(document)
    if not isinstance(loaded, Scene):
        raise ValueError("not a drawing")
    return loaded


def _dump(value: Any) -> Any:
    if isinstance(value, Message):
        return message_dump(value)
    if is_dataclass(value) and not isinstance(value, type):
        named = {item.name: _dump(getattr(value, item.name)) for item in fields(value)}
        return {"is": type(value).__name__, **named}
    if isinstance(value, list | tuple):
        return [_dump(item) for item in value]
    if isinstance(value, str | bool) or value is None:
        return value
    return round(float(value), 2)


def _load(value: Any) -> Any:
    if isinstance(value, Mapping) and "code" in value:
        return message_load(value)
    if isinstance(value, Mapping):
        kind = _KINDS.get(str(value.get("is")))
        if kind is None:
            raise ValueError(f"not a part of a drawing: {value.get('is')!r}")
        known = {item.name for item in fields(kind)}
        return kind(**{key: _load(item) for key, item in value.items() if key in known})
    if isinstance(value, list):
        return tuple(_load(item) for item in value)
    return value


#: Under what a corner's drawings are kept: the clearance alone, and with the wheel that is on the
#: car now dashed, where that is known; and the wheel from the side at the tightest pose.
ALONE, BESIDE, SIDE = "alone", "beside", "side"
