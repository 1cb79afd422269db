"""Words of drawings for tests of the engine, which has no sentences: about as long as real ones."""

from __future__ import annotations

from common.message import Message
from common.numerals import fixed
from fitment.engine.drawing.scene import Text

UNITS = {"axis.mm": " mm", "axis.in": " in", "axis.deg": "°", "axis.mm-plain": " mm"}


def letter(text: Text) -> str:
    """A name as it is; a message by the last part of its code, with its figures."""
    if isinstance(text, str):
        return text
    params, words = text.params, text.code.partition(".")[2].replace("-", " ")
    if text.code in UNITS or text.code == "axis.tick":
        return _figure(text) + UNITS.get(text.code, "")
    if text.code.startswith("drawing.gap-"):
        return f"{fixed(params['gap_mm'], 1, signed=True)} {words.removeprefix('gap ')}"
    if "by_mm" in params:
        return f"{fixed(params['by_mm'], 1)} {words}"
    if text.code == "level.needed":
        return f"{fixed(params['value'], 0)} needed"
    if "unit" in params:
        return f"{words}, {letter(params['unit'])}, further words"
    return words


def _figure(told: Message) -> str:
    value, places = told.params["value"], told.params.get("places")
    if places is None:
        return fixed(value, 0)
    written = fixed(value, places, signed=True)
    return "0" if not written.strip("0.") else written
