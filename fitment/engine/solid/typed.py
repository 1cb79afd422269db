"""Wheels and tyres as people type them: ``9,5 J x 18 H2 ET 35``, ``245/40 ZR18 (97Y) XL``.

Pure text work. What is understood comes back as figures and as one plain notation; what is
not is refused by name, with a message that says what to type. Rim sizes in inches, lengths in mm.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from common.message import Told, message
from fitment.engine.solid.designation import LOAD_INDEX_KG, SPEED_SYMBOL_KMH, BadSize, size_of

#: Wheels that any road car has; in inches, the offset in mm.
RIM_DIAMETERS_IN = (10.0, 24.0)
RIM_WIDTHS_IN = (3.0, 16.0)
OFFSETS_MM = (-150.0, 150.0)
LONGEST = 80

_NUMBER = r"\d+(?:\.\d+)?"
_FLANGE = r"(?:JJ|JK|J|K|B|D|E|P)"
_WHEEL_SIZE = re.compile(
    rf"(?<![\d.])(?P<one>\d{{1,2}}(?:\.\d{{1,2}})?)\s*(?P<flange>{_FLANGE})?\s*X\s*"
    rf"(?P<two>\d{{1,2}}(?:\.\d{{1,2}})?)(?![\d.])\s*(?P<flange_two>{_FLANGE}(?![A-Z]))?"
)
_HUMP = re.compile(r"(?<![A-Z])(?:E?H2\+?|H|CH|FH2?|AH2?)(?![A-Z\d])")
_OFFSET = re.compile(
    rf"(?:(?:ET|IS|OFFSET)\s*:?\s*(?P<sign>[+-]?)|(?P<bare>[+-]))\s*(?P<mm>{_NUMBER})"
)
_BOLTS = re.compile(r"(?<![\d.])(?P<count>[3-8])\s*[X/]\s*(?P<circle>\d{2,3}(?:\.\d+)?)(?![\d.])")
_BORE = re.compile(rf"(?:CB|ML|BORE|Ø|⌀|NB)\s*:?\s*(?P<mm>{_NUMBER})\s*(?:MM)?")
_BACKSPACING = re.compile(rf"(?:BS|BACKSPAC\w*)\s*:?\s*{_NUMBER}")
_UNITS = re.compile(r"(?<![A-Z])(?:MM|IN|INCH|ZOLL)(?![A-Z])")


@dataclass(frozen=True)
class TypedWheel:
    """A wheel that was typed: inches, offset in mm (positive: mounting face outboard of the
    centre plane), and bolts and bore where they were said. ``name`` is what stood before."""

    width_in: float
    diameter_in: float
    offset_mm: float
    bolt_count: int | None = None
    bolt_circle_mm: float | None = None
    centre_bore_mm: float | None = None
    name: str = ""

    @property
    def notation(self) -> str:
        """The same in one plain notation, which reads back alike: ``9.5x18 ET35 5x114.3``."""
        said = f"{self.width_in:g}x{self.diameter_in:g} ET{self.offset_mm:g}"
        if self.bolt_count is not None:
            said += f" {self.bolt_count}x{self.bolt_circle_mm:g}"
        if self.centre_bore_mm is not None:
            said += f" CB{self.centre_bore_mm:g}"
        return f"{self.name} {said}" if self.name else said


def read_wheel(typed: str) -> TypedWheel:
    """Read a wheel with its size in either order and its offset.

    Raises Told, with the code ``typed-wheel.…``, for what is missing or is not understood.
    """
    text = re.sub(r"[\"″”]", " ", _plain(typed))
    if not text or len(text) > LONGEST:
        raise _wheel("empty" if not text else "long", typed[:LONGEST])
    found = _WHEEL_SIZE.search(text)
    if found is None:
        raise _wheel("no-size", typed)
    before, rest = text[: found.start()], text[found.end() :]
    stated = _BOLTS.search(before)
    width, diameter = _width_and_diameter(found, typed)
    if _BACKSPACING.search(rest):
        raise _wheel("backspacing", typed)
    taken: dict[str, re.Match[str] | None] = {}
    for what, pattern in (("bore", _BORE), ("bolts", _BOLTS), ("offset", _OFFSET)):
        taken[what] = pattern.search(rest)
        rest = pattern.sub(" ", rest, count=1)
    bolts, bore, offset = taken["bolts"] or stated, taken["bore"], taken["offset"]
    if stated and taken["bolts"]:
        raise _wheel("odd", typed, odd=stated[0])
    odd = _UNITS.sub(" ", _HUMP.sub(" ", rest)).strip(" ,;/()")
    if odd:
        code = "bare-offset" if re.fullmatch(r"\d{1,2}", odd) and not offset else "odd"
        raise _wheel(code, typed, odd=odd)
    if offset is None:
        raise _wheel("no-offset", typed)
    sign = -1.0 if "-" in (offset["sign"], offset["bare"]) else 1.0
    wheel = TypedWheel(
        width_in=width,
        diameter_in=diameter,
        offset_mm=sign * float(offset["mm"]) + 0.0,
        bolt_count=int(bolts["count"]) if bolts else None,
        bolt_circle_mm=float(bolts["circle"]) if bolts else None,
        centre_bore_mm=float(bore["mm"]) if bore else None,
        name=_named(typed, text, stated.start() if stated else found.start()),
    )
    _check_wheel(wheel, typed)
    return wheel


def _width_and_diameter(found: re.Match[str], typed: str) -> tuple[float, float]:
    """Which of two figures is the width: the one with a flange, else the smaller."""
    one, two = float(found["one"]), float(found["two"])
    if found["flange"] and found["flange_two"]:
        raise _wheel("two-widths", typed)
    if found["flange"]:
        return one, two
    if found["flange_two"]:
        return two, one
    return min(one, two), max(one, two)


def _check_wheel(wheel: TypedWheel, typed: str) -> None:
    for code, value, (low, high) in (
        ("diameter", wheel.diameter_in, RIM_DIAMETERS_IN),
        ("width", wheel.width_in, RIM_WIDTHS_IN),
        ("offset", wheel.offset_mm, OFFSETS_MM),
    ):
        if not low <= value <= high:
            raise _wheel(f"no-such-{code}", typed, value=value, low=low, high=high)


def _wheel(code: str, typed: str, **params: object) -> Told:
    return Told(message(f"typed-wheel.{code}", typed=typed.strip(), **params))


# --- Tyres ----------------------------------------------------------------------------------

_TYRE_SIZE = re.compile(
    r"(?<![\d.])(?:(?<![A-Z])(?P<prefix>P|LT|ST|T)\s?)?"
    r"(?P<width>\d{3})\s*[/ ]\s*(?P<aspect>\d{2})\s*"
    r"(?P<between>/|-|)\s*(?P<build>[ZVH]?[RBD]F?|)\s*(?P<rim>\d{2}(?:\.5)?)(?![\d.])"
)
_COMMERCIAL = re.compile(r"^\s*(?P<mark>C|LT)(?![A-Z\d])")
_SERVICE = re.compile(
    r"\(\s*(?P<in_index>\d{2,3})(?:/\d{2,3})?\s*(?P<in_speed>[A-Z]\d?)\s*\)"
    r"|(?<![\d.])(?P<index>\d{2,3})(?:/\d{2,3})?\s*(?P<speed>[A-Z]\d?)(?![A-Z\d])"
)
_REINFORCED = re.compile(r"(?<![A-Z])(?:XL|RF|REINF(?:ORCED)?\.?|EXTRA\s?LOAD)(?![A-Z])")
_SNOW = re.compile(r"(?<![A-Z\d])(?:M\s?[+&/]\s?S\.?|MS|M\.S\.|3PMSF)(?![A-Z])")
_IDLE = re.compile(
    r"(?<![A-Z])(?:TL|TUBELESS|RFT|RUN\s?FLAT|RADIAL|LOAD\s?RANGE\s?[B-F]|LR\s?[B-F])(?![A-Z])"
)
_FLOTATION = re.compile(
    r"(?<![\d.])\d{2}(?:\.\d+)?\s*X\s*\d{1,2}(?:\.\d+)?\s*(?:R|-|LT)?\s*\d{0,2}"
)
_INCH = re.compile(r"(?<![\d.])\d{1,2}\.\d{2}\s*(?:R|-|/|X)?\s*\d{2}(?!\d)")
_FULL_SECTION = re.compile(
    r"(?<![\d./])(?P<width>\d{3})\s*(?:[ZVHS]?R|-)\s*(?P<rim>\d{2})(?![\d-])"
)
_METRIC_RIM = re.compile(r"(?<![\d.])\d{3}/\d{2,3}\s*[ZVH]?R\s*[34]\d{2}(?!\d)")


@dataclass(frozen=True)
class TypedTyre:
    """A tyre that was typed. ``size`` is plain, as :func:`size_of` reads it; ``service`` is "",
    "P", "LT" or "C". A sidewall without load index or speed symbol leaves None and ""."""

    size: str
    load_index: int | None = None
    speed_symbol: str = ""
    service: str = ""
    reinforced: bool = False
    snow: bool = False
    name: str = ""

    @property
    def notation(self) -> str:
        """The same in one plain notation, which reads back alike: ``245/40R18 97Y XL``."""
        front = self.service if self.service in {"P", "LT"} else ""
        said = [self.name, front + self.size]
        if self.service == "C":
            said.append("C")
        if self.load_index is not None:
            said.append(f"{self.load_index}{self.speed_symbol}")
        said += ["XL"] * self.reinforced + ["M+S"] * self.snow
        return " ".join(word for word in said if word)


def read_tyre(typed: str) -> TypedTyre:
    """Read what stands on a sidewall: size, load index and speed symbol, and usual marks.

    Van (``C``) and light truck (``LT``) sizes follow the same formula of their dimensions (UN
    R54, 6.1.2). Raises Told, with the code ``typed-tyre.…``, for what is not understood.
    """
    text = _plain(typed)
    if not text or len(text) > LONGEST:
        raise _tyre("empty" if not text else "long", typed[:LONGEST])
    found = _TYRE_SIZE.search(text)
    if found is None:
        raise _why_no_size(text, typed)
    _check_build(found, typed)
    size = f"{found['width']}/{found['aspect']}R{found['rim']}"
    try:
        size_of(size)
    except BadSize:
        raise _tyre("no-such-size", typed, size=size) from None
    rest = text[found.end() :]
    behind = _COMMERCIAL.match(rest)
    if behind:
        rest = rest[behind.end() :]
    service = found["prefix"] or (behind["mark"] if behind else "")
    snow, reinforced = bool(_SNOW.search(rest)), bool(_REINFORCED.search(rest))
    for pattern in (_SNOW, _REINFORCED, _IDLE):
        rest = pattern.sub(" ", rest)
    described = _SERVICE.search(rest)
    index, speed = _index_and_speed(described, typed)
    odd = (_SERVICE.sub(" ", rest, count=1) if described else rest).strip(" ,;/()")
    if odd:
        raise _tyre("odd", typed, odd=odd)
    return TypedTyre(
        size, index, speed, service, reinforced, snow, _named(typed, text, found.start())
    )


def _check_build(found: re.Match[str], typed: str) -> None:
    if found["prefix"] in {"T", "ST"}:
        raise _tyre("temporary" if found["prefix"] == "T" else "trailer", typed)
    if found["between"] == "-" or found["build"].strip("ZVHF") in {"B", "D"}:
        raise _tyre("not-radial", typed)


def _index_and_speed(found: re.Match[str] | None, typed: str) -> tuple[int | None, str]:
    if found is None:
        return None, ""
    index = int(found["in_index"] or found["index"])
    speed = found["in_speed"] or found["speed"]
    if index not in LOAD_INDEX_KG:
        raise _tyre(
            "no-such-load", typed, index=index, low=min(LOAD_INDEX_KG), high=max(LOAD_INDEX_KG)
        )
    if speed not in SPEED_SYMBOL_KMH:
        raise _tyre("no-such-speed", typed, symbol=speed, known=", ".join(SPEED_SYMBOL_KMH))
    return index, speed


def _why_no_size(text: str, typed: str) -> Told:
    if _METRIC_RIM.search(text):
        return _tyre("metric-rim", typed)
    if _FLOTATION.search(text):
        return _tyre("flotation", typed)
    if _INCH.search(text):
        return _tyre("inch", typed)
    full = _FULL_SECTION.search(text)
    if full:
        return _tyre("no-aspect", typed, like=f"{full['width']}/80R{full['rim']}")
    return _tyre("no-size", typed)


def _tyre(code: str, typed: str, **params: object) -> Told:
    return Told(message(f"typed-tyre.{code}", typed=typed.strip(), **params))


# --- Both -----------------------------------------------------------------------------------

_SIGNS = str.maketrans(
    {"−": "-", "–": "-", "×": "X", "*": "X", "½": ".5", "\N{FRACTION SLASH}": "/"}
)


def _plain(typed: str) -> str:
    """Capitals, plain signs, a point between digits for a decimal comma, single blanks."""
    text = unicodedata.normalize("NFKC", typed.translate(_SIGNS)).translate(_SIGNS).upper()
    text = re.sub(r"(?<=\d),(?=\d)", ".", text)
    text = re.sub(r"(?<=\d) 1/2(?!\d)", ".5", text)
    return " ".join(text.split())


def _named(typed: str, text: str, start: int) -> str:
    """What stands before the size, as it was typed where that has the same length."""
    plain = " ".join(typed.split())
    source = plain if len(plain) == len(text) else text
    return source[:start].strip(" ,;:")
