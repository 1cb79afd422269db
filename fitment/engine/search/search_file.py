"""The search file: a check file of one axle with what there is to choose from.

Every fault is named with its path, as in a check file.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import product
from math import isnan

from common.corners import axle_of
from fitment.engine.checkfile import BadCheckFile, Problem, parse, plausible
from fitment.engine.checkfile.reader import Node, Range, Table, json_document, listed
from fitment.engine.model import Check, Corner
from fitment.engine.search.aims import LEAST_CHANGE, LEAST_COST, MOST_CLEARANCE, WIDEST
from fitment.engine.search.limits import Within
from fitment.engine.search.model import Question
from fitment.engine.search.search_lists import (
    MONEY,
    read_load_index,
    read_spacers,
    read_speed_symbol,
    read_tyres,
    read_values,
    read_wheels,
)
from fitment.engine.search.space import SettingChange, Space, SpacerChoice, TyreChoice, WheelChoice

SEARCH = "search"
#: What may be wanted, as files name it.
GOALS = {
    "least_change": LEAST_CHANGE,
    "least_cost": LEAST_COST,
    "widest_tyre": WIDEST,
    "most_clearance": MOST_CLEARANCE,
}
#: Options that an answer lists, and as many again that fail something.
FEW = 10
#: Settings that a file may ask for. Each is settled, so their number bounds the work.
MOST_SETTINGS = 5000
CAMBER_STEP_DEG = 0.1
STEP = Range(0.01, 5, "°")


@dataclass(frozen=True)
class Search:
    """A search as a file asks it; ``axle`` is "front" or "rear"."""

    goal: str
    axle: str
    question: Question


def search_loads(text: str | bytes) -> Search:
    """Read a search file's text. Raises BadCheckFile with every problem in it."""
    return search_parse(json_document(text))


def search_parse(document: object) -> Search:
    """Read a search file that is already JSON. Raises BadCheckFile with every problem in it."""
    problems: list[Problem] = []
    file = Table(Node(document, "", problems))
    asked = file.need(SEARCH)
    check = _check_in(document, problems)
    if asked is None:
        raise BadCheckFile(problems)
    with asked.table() as search:
        goal = search.choice("goal", tuple(GOALS))
        axle = search.choice("axle", ("front", "rear"))
        corners = _corners_of(check, axle, search, problems)
        if not corners:
            _read_apart(search)
            raise BadCheckFile(problems)
        planned = next(iter(corners.values()))
        space = _space(search, planned)
        within = _within(search)
    if problems or check is None:
        raise BadCheckFile(problems)
    question = Question(
        corners, check.duty, space, within, aims=(GOALS[goal],), few=FEW, passes=None
    )
    return Search(goal, axle, question)


def _check_in(document: object, problems: list[Problem]) -> Check | None:
    """The check of a search file."""
    if not isinstance(document, Mapping):
        return None
    try:
        return parse({key: value for key, value in document.items() if key != SEARCH})
    except BadCheckFile as bad:
        problems += bad.problems
        return None


def _corners_of(
    check: Check | None, axle: str, search: Table, problems: list[Problem]
) -> dict[str, Corner]:
    """The corners of the axle that is searched; both sides carry the same wheel and tyre."""
    if check is None or not axle:
        return {}
    others = [name for name in check.corners if axle_of(name) != axle]
    problems += [
        Problem(f"corners.{name}", f"is not of the {axle} axle, which is searched")
        for name in others
    ]
    corners = {name: one for name, one in check.corners.items() if axle_of(name) == axle}
    if not corners:
        if not others:
            search.problem("axle", "has no corner in the file")
        return {}
    first = next(iter(corners.values()))
    for name, corner in corners.items():
        for part in ("wheel", "tyre"):
            if getattr(corner, part) != getattr(first, part):
                problems.append(
                    Problem(
                        f"corners.{name}.{part}",
                        "differs from that of the other side; a search fits an axle alike",
                    )
                )
    return corners


def _read_apart(search: Table) -> None:
    """Look for faults in the lists although there is no corner to hold them against."""
    read_wheels(search)
    read_tyres(search)
    read_spacers(search)
    _within(search)


# --- What there is to choose from ------------------------------------------------------------


def _space(search: Table, planned: Corner) -> Space:
    wheels = _with_planned_wheel(read_wheels(search), planned)
    tyres = _with_planned_tyre(read_tyres(search), planned)
    now = planned.wheel.spacer_mm
    spacers = read_spacers(search) or (SpacerChoice(now),)
    first = next((one for one in spacers if one.mm == now), SpacerChoice(now, offered=False))
    return Space(
        _settings(search, planned),
        wheels,
        tyres,
        (replace(first, price=Decimal(0)), *(one for one in spacers if one is not first)),
    )


def _with_planned_wheel(
    wheels: Sequence[WheelChoice] | None, planned: Corner
) -> tuple[WheelChoice, ...]:
    """The file's own wheel first, which costs nothing, and is offered where it is in the list."""
    own = replace(planned.wheel, spacer_mm=0.0)
    if wheels is None:
        return (WheelChoice("", own, Decimal(0)),)
    now = next((one for one in wheels if one.wheel == own), None)
    if now is None:
        return (WheelChoice("", own, Decimal(0), offered=False), *wheels)
    others = (one for one in wheels if one is not now)
    return (
        replace(now, price=Decimal(0)),
        *(replace(one, price=Decimal(0)) if one.wheel == own else one for one in others),
    )


def _with_planned_tyre(
    tyres: Sequence[TyreChoice] | None, planned: Corner
) -> tuple[TyreChoice, ...]:
    """The same of the file's own tyre."""
    if tyres is None:
        return (TyreChoice("", planned.tyre, Decimal(0)),)
    now = next((one for one in tyres if one.tyre == planned.tyre), None)
    if now is None:
        return (TyreChoice("", planned.tyre, Decimal(0), offered=False), *tyres)
    others = (one for one in tyres if one is not now)
    return (
        replace(now, price=Decimal(0)),
        *(replace(one, price=Decimal(0)) if one.tyre == now.tyre else one for one in others),
    )


def _settings(search: Table, planned: Corner) -> tuple[SettingChange, ...]:
    """Every combination of the settings that are listed; what is not listed stays as planned."""
    packers: Sequence[float | None] = read_values(search, "packers_mm", plausible.PACKER) or [None]
    heights: Sequence[float | None] = read_values(search, "ride_heights_mm", plausible.HEIGHT) or [
        None
    ]
    cambers = _cambers(search, planned) or [(None, None)]
    count = len(packers) * len(heights) * len(cambers)
    if count > MOST_SETTINGS:
        search.node.problem(
            f"asks for {count} settings, packers, heights and cambers combined; "
            f"{MOST_SETTINGS} are the most that one search takes"
        )
        return ()
    return tuple(
        SettingChange(by, camber, height, packer)
        for (by, camber), height, packer in product(cambers, heights, packers)
    )


def _cambers(search: Table, planned: Corner) -> list[tuple[str | None, float | None]]:
    """What sets camber with every value of its range, ends included."""
    step = CAMBER_STEP_DEG
    steps = search.maybe_table("step")
    if steps is not None:
        with steps:
            step = steps.number("camber_deg", STEP, default=CAMBER_STEP_DEG)
    table = search.maybe_table("camber_deg")
    if table is None:
        return []
    known = planned.suspension.camber_methods
    found: list[tuple[str | None, float | None]] = []
    with table:
        for name, node in table.entries():
            if name not in known:
                node.problem(f"is nothing that sets camber at this corner; give {listed(known)}")
            low, high = node.pair(plausible.CAMBER, plausible.CAMBER)
            if low > high:
                node.problem(f"begins at {low:g}, above where it ends, {high:g}")
            elif not isnan(low + high + step):
                found += [(name, value) for value in _stepped(low, high, step)]
    return found


def _stepped(low: float, high: float, step: float) -> list[float]:
    """Values from one end of a range to the other, both included."""
    count = int((high - low) / step + 1e-6)
    values = [round(low + index * step, 6) for index in range(min(count, MOST_SETTINGS) + 1)]
    return values if high - values[-1] < 1e-6 else [*values, high]


# --- Limits ---------------------------------------------------------------------------------


def _within(search: Table) -> Within:
    table = search.maybe_table("limits")
    if table is None:
        return Within()
    with table:
        span = table.maybe("overall_diameter_mm")
        across = plausible.OVERALL_DIAMETER
        diameter = span.pair(across, across) if span else None
        if span and diameter and diameter[0] > diameter[1]:
            span.problem(f"begins at {diameter[0]:g}, above where it ends, {diameter[1]:g}")
        budget = table.maybe_number("budget", MONEY)
        return Within(
            diameter_mm=diameter,
            load_index=read_load_index(table),
            speed_symbol=read_speed_symbol(table),
            budget=None if budget is None or isnan(budget) else Decimal(str(budget)),
            prices_known=True,
        )
