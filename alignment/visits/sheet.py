"""The spec sheet's section of readings: before, after, target, conditions, adjusters."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph, Spacer

from alignment.models import OrderTarget, PlannedSetting, RackVisit
from alignment.plans.services.order_targets import sheet_of
from alignment.text.labels import plan_sentence
from alignment.visits.comparison import compare
from alignment.visits.conditions_sheet import conditions_lines, positions_table
from alignment.visits.data import CROSS, LEFT, RIGHT, TOTAL, AxleTable, Comparison, Group, Row
from alignment.visits.services.derived_quantities import (
    FRONT_WHEELS,
    INCLUDED,
    SCRUB,
    STEERING_WHEEL,
    Derived,
    derived_of,
)
from common.corners import AXLE_CORNERS, CORNER_NAMES
from shop.languages import Speech
from shop.languages.formatting import capital
from shop.models import Axle
from shop.paper.pdf_styles import (
    FAINT,
    INK,
    RULES,
    SheetTable,
    Styles,
    heading,
    speech_on,
    text,
    width_of,
)

if TYPE_CHECKING:
    from shop.models import WorkOrder


#: Shares of the page: the quantity, then four columns for left, right and both together.
QUANTITY_SHARE, COLUMN_SHARES = 92.0, (33.0, 33.0, 31.0, 34.0)
DEGREES, MILLIMETRES = "°", "mm"
FOOTNOTE = "*"


def readings_section(order: WorkOrder, styles: Styles) -> list[Any]:
    """Planned settings in words and the readings in one table; nothing where there is neither."""
    visits = list(RackVisit.objects.filter(order=order).with_numbers())
    plans = list(PlannedSetting.objects.filter(order=order))
    if not visits and not plans:
        return []
    speech = speech_on(styles)
    say = speech.say
    flow: list[Any] = [heading(say("Settings and readings"), styles)]
    flow += [
        text(say("Planned. {setting}", setting=plan_sentence(plan, speech)), styles["body"])
        for plan in plans
    ]
    flow += [text(line, styles["body"]) for line in _target_lines(order, speech)]
    if visits:
        comparison = compare(visits, plans, sheet_of(order))
        table = ReadingsTable(comparison, styles)
        flow += [Spacer(1, 3), table.flowable(), Spacer(1, 3)]
        lines = [*conditions_lines(comparison, speech), " ".join(table.footnotes())]
        flow += [text(line, styles["small"]) for line in lines]
        flow += positions_table(comparison, styles)
    return flow


def _target_lines(order: WorkOrder, speech: Speech) -> list[str]:
    """From which figures the plan was made, and why it differs from them."""
    taken = OrderTarget.objects.filter(order=order).select_related("sheet").first()
    if taken is None:
        return []
    lines = [
        speech.say(
            "Target: {kind} for {use}, version {version}, {source}, as of {day}.",
            kind=speech.within(taken.sheet.get_kind_display()),
            use=speech.within(taken.sheet.get_use_display()),
            version=taken.sheet.version,
            source=taken.sheet.source,
            day=speech.day(taken.sheet.dated),
        )
    ]
    if taken.reason:
        lines.append(speech.say("The plan differs from it: {reason}", reason=taken.reason))
    return lines


class ReadingsTable:
    """One row a quantity; before, after, target and off by for left, right and both together."""

    def __init__(self, comparison: Comparison, styles: Styles) -> None:
        self.comparison = comparison
        self.styles = styles
        self.speech = speech_on(styles)
        self.blurred = False
        self.turned = self.scrubs = False
        self.derived = [_derived(visit) for visit in (comparison.before, comparison.after)]
        self.num = ParagraphStyle("readings-off", parent=styles["num"], fontName=_bold(styles))

    def flowable(self) -> SheetTable:
        say = self.speech.say
        four = [say("Before"), say(self.comparison.after_title), say("Target"), say("Off by")]
        blank = ["", "", ""]
        cells: list[list[Any]] = [
            ["", say("Left"), *blank, say("Right"), *blank, say("Cross or total"), *blank],
            [say("Measured"), *four, *four, *four],
        ]
        for axle in self.comparison.axles:
            cells += [*self._axle(axle), *self._following(axle)]
        whole = QUANTITY_SHARE + 3 * sum(COLUMN_SHARES)
        scale = width_of(self.styles) / whole
        widths = [QUANTITY_SHARE * scale, *(share * scale for share in COLUMN_SHARES * 3)]
        return SheetTable(cells, colWidths=widths, repeatRows=2, hAlign="LEFT", style=self._rules())

    def footnotes(self) -> list[str]:
        say = self.speech.say
        lines = [
            say(
                "Camber: minus is top inboard. Toe: plus is toe-in, per wheel; total is the sum. "
                "Caster: plus is top rearward. Cross is left minus right."
            )
        ]
        if self.scrubs:
            lines.append(say("Scrub: how far each wheel slips sideways, running straight."))
        if self.turned:
            lines.append(
                say(
                    "Steering wheel and front wheels: where they stand while the car runs "
                    "straight; plus is to the right."
                )
            )
        if self.blurred:
            lines.append(say("{mark} Below rack accuracy.", mark=FOOTNOTE))
        return lines

    def _rules(self) -> list[tuple[Any, ...]]:
        cell, head = self.styles["num"], self.styles["head"]
        rules: list[tuple[Any, ...]] = [
            *RULES,
            ("FONT", (0, 0), (-1, 1), head.fontName, head.fontSize, head.leading),
            ("TEXTCOLOR", (0, 0), (-1, 1), head.textColor),
            ("FONT", (0, 2), (-1, -1), cell.fontName, cell.fontSize, cell.leading),
            ("TEXTCOLOR", (0, 2), (-1, -1), INK),
            ("ALIGN", (1, 1), (-1, -1), "RIGHT"),
            ("RIGHTPADDING", (1, 0), (-1, -1), 2.5),
            ("LINEBELOW", (0, 1), (-1, 1), 0.4, INK),
            ("LINEBELOW", (0, 2), (-1, -2), 0.25, FAINT),
        ]
        for first in (1, 5, 9):
            rules.append(("SPAN", (first, 0), (first + 3, 0)))
            rules.append(("LEFTPADDING", (first, 0), (first, 0), 8))
            rules.append(("LINEBEFORE", (first, 0), (first, -1), 0.25, FAINT))
        return rules

    def _axle(self, axle: AxleTable) -> list[list[Any]]:
        """The axle's quantities, and below each what follows from both sides."""
        where = self.speech.say(axle.axle)
        lines: list[list[Any]] = []
        for group in axle.groups:
            by_side = {row.side: row for row in group.rows}
            both = by_side.pop(CROSS, None) or by_side.pop(TOTAL, None)
            left, right = by_side.pop(LEFT, None), by_side.pop(RIGHT, None)
            title = f"{self._named(group)}, {where}"
            sides = [cell for row in (left, right, both) for cell in self._four(row, group)]
            lines.append([self._title(title, group), *sides])
            for side, row in by_side.items():
                name = f"{capital(self.speech.say(side))}, {where}"
                lines.append([self._title(name, group), *[""] * 8, *self._four(row, group)])
        return lines

    def _following(self, axle: AxleTable) -> list[list[Any]]:
        """Quantities derived from the axle's readings; those that do not follow have no row."""
        say = self.speech.say
        lines = []
        sides = [(INCLUDED, CORNER_NAMES[corner]) for corner in AXLE_CORNERS[axle.axle]]
        cells = [cell for key in sides for cell in self._told(key)]
        if any(cells):
            name = f"{say('Included angle')}, {say(axle.axle)}, {self.speech.angle_unit}"
            lines.append([text(name, self.styles["cell"]), *cells, *[""] * 4])
        alone = [(SCRUB, axle.axle, say("Scrub"), self.speech.scrub_unit)]
        if axle.axle == Axle.FRONT:
            degrees = self.speech.angle_unit
            alone += [
                (STEERING_WHEEL, "", say("Steering wheel turned"), degrees),
                (FRONT_WHEELS, "", say("Front wheels point"), degrees),
            ]
        for name, where, words, unit in alone:
            cells = self._told((name, where))
            if any(cells):
                self.turned = self.turned or not where
                self.scrubs = self.scrubs or name == SCRUB
                place = f", {say(where)}" if where else ""
                title = text(f"{words}{place}, {unit}", self.styles["cell"])
                lines.append([title, *[""] * 8, *cells])
        return lines

    def _told(self, key: tuple[str, str]) -> list[str]:
        """Before, after, and two empty cells; all empty where neither visit gives it."""
        found = [visit.get(key) for visit in self.derived]
        if found == [None, None]:
            return [""] * 4
        return [*("–" if one is None else self._derived_shown(one) for one in found), "", ""]

    def _derived_shown(self, one: Derived) -> str:
        if one.name == SCRUB:
            return self.speech.bare_scrub(one.value)
        return self.speech.bare_angle(one.value)

    def _named(self, group: Group) -> str:
        # "Track" alone is a use of a car.
        return self.speech.say("Track width" if group.quantity == "track" else group.title)

    def _title(self, words: str, group: Group) -> Paragraph:
        unit = self._unit(group)
        return text(f"{words}, {unit}" if unit else words, self.styles["cell"])

    def _unit(self, group: Group) -> str:
        units = {DEGREES: self.speech.angle_unit, MILLIMETRES: self.speech.length_unit}
        return units.get(group.unit, group.unit)

    def _four(self, row: Row | None, group: Group) -> list[Any]:
        if row is None:
            return ["", "", "", ""]
        target = "" if row.target is None else self._shown(row.target, group, row)
        numbers = [self._shown(row.before, group, row), self._shown(row.after, group, row), target]
        return [*numbers, self._off(row, group)]

    def _shown(self, value: float | None, group: Group, row: Row, *, signed: bool = True) -> str:
        if group.unit == DEGREES:
            return self.speech.bare_angle(value, signed=signed)
        if group.unit == MILLIMETRES:
            differs = row.side not in (LEFT, RIGHT)
            return self.speech.bare_length(value, 0, signed=differs)
        return "–" if value is None else self.speech.number(value, row.places)

    def _off(self, row: Row, group: Group) -> Any:
        """What it is off by; outside the tolerance in bold, with how far outside."""
        if row.off is None:
            return ""
        if group.unit == DEGREES:
            shown = self.speech.bare_angle(row.off.value)
            beyond = self.speech.bare_angle(abs(row.off.beyond), signed=False)
        else:
            shown = self.speech.bare_length(row.off.value, 0, signed=True)
            beyond = self.speech.bare_length(abs(row.off.beyond), 0)
        if not row.off.is_out:
            return shown
        mark = "" if row.off.told_by_rack else FOOTNOTE
        self.blurred = self.blurred or bool(mark)
        said = self.speech.say("{figure} out", figure=beyond) + mark
        return [text(shown, self.num), text(said, self.styles["out"])]


def _derived(visit: RackVisit | None) -> dict[tuple[str, str], Derived]:
    """By name and place; how the steering stands only where it was noted as held ahead."""
    found = {} if visit is None else {(one.name, one.where): one for one in derived_of(visit)}
    if visit is not None and not visit.steering_ahead:
        for name in (STEERING_WHEEL, FRONT_WHEELS):
            found.pop((name, ""), None)
    return found


def _bold(styles: Styles) -> str:
    return str(styles["heading"].fontName)


# ---- adjusters
