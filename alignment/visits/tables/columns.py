"""One column of a table from elsewhere: what it holds, corner, unit and sign."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from itertools import pairwise
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.geometry import conditions, units
from alignment.geometry.units import NotUnderstood, Understood
from alignment.models import LENGTHS, OF_AXLE, POSITIVE, Quantity
from shop.models import Corner

CORNER, STAGE, TIME, MILEAGE, NOTES = "corner", "stage", "time", "mileage", "notes"
#: What a column may hold besides a quantity.
OTHERS: tuple[tuple[str, str | Promise], ...] = (
    (CORNER, gettext_lazy("Corner of the row")),
    (STAGE, gettext_lazy("Stage: before, between or after the work")),
    (TIME, gettext_lazy("Date and time")),
    (MILEAGE, gettext_lazy("Mileage, km")),
    (NOTES, gettext_lazy("Notes")),
)
#: The corner of a column whose rows name their corner.
OF_ROW = "row"
CENTIMETRES = "cm"
#: Characters that a reading may have.
LONGEST = 40
ANGLE_UNITS = (units.DEGREES, units.MINUTES)
LENGTH_UNITS = (units.MILLIMETRES, CENTIMETRES, units.INCHES)
PRESSURE_UNITS = (conditions.BAR, conditions.PSI, conditions.KILOPASCAL)
UNIT_WORDS: dict[str, str | Promise] = {
    units.DEGREES: gettext_lazy("degrees, or degrees and minutes"),
    units.MINUTES: gettext_lazy("minutes of arc"),
    units.MILLIMETRES: gettext_lazy("millimetres"),
    CENTIMETRES: gettext_lazy("centimetres"),
    units.INCHES: gettext_lazy("inches"),
    conditions.BAR: "bar",
    conditions.PSI: "psi",
    conditions.KILOPASCAL: "kPa",
}
#: How tables write corners, in lower case without anything between.
CORNER_CODES: Mapping[str, str] = {
    **dict.fromkeys(("lf", "fl", "leftfront", "frontleft", "vl"), Corner.LF),
    **dict.fromkeys(("rf", "fr", "rightfront", "frontright", "vr"), Corner.RF),
    **dict.fromkeys(("lr", "rl", "leftrear", "rearleft", "hl"), Corner.LR),
    **dict.fromkeys(("rr", "rightrear", "rearright", "hr"), Corner.RR),
}
_GUESSES: tuple[tuple[str, str], ...] = (
    ("total", Quantity.TOE_TOTAL),
    ("camber", Quantity.CAMBER),
    ("caster", Quantity.CASTER),
    ("castor", Quantity.CASTER),
    ("inclination", Quantity.SAI),
    ("sai", Quantity.SAI),
    ("kpi", Quantity.SAI),
    ("toe", Quantity.TOE),
    ("height", Quantity.RIDE_HEIGHT),
    ("wheelbase", Quantity.WHEELBASE),
    ("track", Quantity.TRACK),
    ("pressure", Quantity.PRESSURE),
    ("corner", CORNER),
    ("wheel", CORNER),
    ("stage", STAGE),
    ("date", TIME),
    ("time", TIME),
    ("mileage", MILEAGE),
    ("km", MILEAGE),
    ("note", NOTES),
)


@dataclass(frozen=True)
class Column:
    """``turned`` where the table's signs are opposite to the shop's."""

    name: str
    what: str
    corner: str = ""
    unit: str = ""
    turned: bool = False

    @property
    def is_reading(self) -> bool:
        return self.what in Quantity.values

    def as_dict(self) -> dict[str, Any]:
        return asdict(self)


def columns_of(rows: list[dict[str, Any]]) -> list[Column]:
    """The columns of a layout."""
    return [Column(**row) for row in rows]


def units_of(what: str) -> tuple[str, ...]:
    """Units that a column of this quantity may be in; the first is the usual one."""
    if what in (Quantity.TOE, Quantity.TOE_TOTAL):
        return (*ANGLE_UNITS, units.MILLIMETRES, units.INCHES)
    if what in LENGTHS:
        return LENGTH_UNITS
    if what == Quantity.PRESSURE:
        return PRESSURE_UNITS
    return ANGLE_UNITS if what in Quantity.values else ()


def column_problem(column: Column, has_corner_column: bool) -> str:
    """The error of a column; empty where it has none."""
    if not column.is_reading:
        return ""
    if column.unit not in units_of(column.what):
        name = Quantity(column.what).label
        if column.unit not in UNIT_WORDS:
            return _("Choose a unit for {quantity}.").format(quantity=name)
        unit = str(UNIT_WORDS[column.unit]).partition(",")[0]
        return _("{quantity} cannot be in {unit}. Choose another unit.").format(
            quantity=name, unit=unit
        )
    if not column.corner:
        return _("Choose the corner where this is read.")
    if column.corner == OF_ROW and not has_corner_column:
        return _("No column holds the corner of a row.")
    if column.what in OF_AXLE and column.corner not in (OF_ROW, Corner.LF, Corner.LR):
        return _("Read once for the axle: choose its left corner.")
    return ""


def read_cell(
    column: Column, text: str, *, decimal_mark: str, toe_diameter_mm: float | None
) -> Understood:
    """A cell of a column with a reading; raises ``NotUnderstood`` with the reason.

    What was in the cell is kept as typed; the value has the shop's sign.
    """
    other = "," if decimal_mark == "." else "."
    if other in text:
        reason = (
            _("“{text}” has a comma, but the layout's decimal mark is a point.")
            if other == ","
            else _("“{text}” has a point, but the layout's decimal mark is a comma.")
        )
        raise NotUnderstood(reason.format(text=text))
    plain = text.replace(",", ".").strip()
    bare = re.fullmatch(r"[+\-−]?[\d.]+", plain) is not None
    if column.what in (Quantity.TOE, Quantity.TOE_TOTAL):
        parse = units.parse_toe if column.what == Quantity.TOE else conditions.parse_toe_total
        read = parse(plain, bare_unit=column.unit, diameter_mm=toe_diameter_mm)
    elif column.what in LENGTHS:
        unit = units.INCHES if column.unit == units.INCHES else units.MILLIMETRES
        suffix = " cm" if bare and column.unit == CENTIMETRES else ""
        read = units.parse_length(plain + suffix, bare_unit=unit)
    elif column.what == Quantity.PRESSURE:
        read = conditions.parse_pressure(f"{plain} {column.unit}" if bare else plain)
    else:
        suffix = "'" if bare and column.unit == units.MINUTES else ""
        read = units.parse_angle(plain + suffix)
    typed = text.strip()
    if len(typed) > LONGEST:
        raise NotUnderstood(_("Too long: at most {count} characters.").format(count=LONGEST))
    value = -read.value if column.turned else read.value
    if column.what in POSITIVE and value <= 0:
        raise NotUnderstood(_("Must be greater than zero."))
    return Understood(typed, value + 0.0, read.unit)


def corner_of(text: str) -> str | None:
    """The corner that a cell names."""
    return CORNER_CODES.get(re.sub(r"[^a-z]", "", text.lower()))


def guess(name: str) -> Column:
    """What a column with this name probably holds, for the shop to confirm."""
    words = name.lower()
    what = next((str(what) for sign, what in _GUESSES if sign in words), "")
    parts = [part for part in re.split(r"[^a-z]+", words) if part]
    pairs = [*parts, *(a + b for a, b in pairwise(parts))]
    corner = next((CORNER_CODES[pair] for pair in pairs if pair in CORNER_CODES), "")
    if what not in Quantity.values:
        return Column(name, what)
    if what in OF_AXLE and not corner:
        corner = Corner.LR if "rear" in words else Corner.LF
    unit = next((unit for unit in units_of(what) if re.search(rf"\b{unit}\b", words)), "")
    return Column(name, what, corner or OF_ROW, unit or units_of(what)[0])
