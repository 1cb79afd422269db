"""Searches for ways to clear, in steps: each step takes a few settings and keeps what it found.

A step is pure computing over rows read once, so it may be done by any process, and what a
process that dies had begun is simply done again.
"""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from django.db.models import Q
from django.utils import timezone

from alignment.class_rules import MEANS_ADJUSTER
from alignment.geometry.model import CAMBER_MEANS, Planned
from fitment.engine import checkfile
from fitment.engine.checkfile.reader import Node
from fitment.engine.checkfile.setting import read_tyre, read_wheel
from fitment.engine.choices import (
    Rule,
    Space,
    SpacerChoice,
    Steps,
    TyreChoice,
    WheelChoice,
    Within,
    on_the_plan,
    settings_within,
    standard_sizes,
)
from fitment.engine.designation import BadSize, size_of
from fitment.engine.model import Corner
from fitment.engine.mounted import BadSection, mounted
from fitment.engine.search import ways
from fitment.engine.ways import (
    LEAST_CHANGE,
    LEAST_COST,
    MOST_ROOM,
    WIDEST,
    Question,
    Way,
)
from fitment.engine.ways_words import caution_words, room_words, way_words
from fitment.models import DutyModel, TyreModel, WaysSearch, WheelModel
from shop.models import Axle, ClassRule, Part, PartKind, RuleKind

from .bench import SetUp, question_of
from .car import Car

if TYPE_CHECKING:
    from shop.models import Pattern, User, WorkOrder

#: Settings that are searched together, and seconds after which a step ends.
TOGETHER, STEP_SECONDS, LONG_SECONDS = 3, 1.0, 10.0
#: A step that takes longer than this was lost with its process.
LOST_AFTER = timedelta(seconds=60)
MOST_SETTINGS, FEW = 30, 5
SPACERS_MM = (3.0, 5.0, 8.0, 10.0, 12.0, 15.0)
HIGHER_MM = (5.0, 10.0, 15.0)
PACKERS_MM = (5.0, 10.0, 15.0)
CAMBER_STEP_DEG = 0.5
#: Wheels and tyres of the catalogue that are looked at, at most.
MOST_WHEELS, MOST_TYRES = 40, 60
#: How keys of choices begin, so that a wheel and a tyre never share one.
WHEEL_KEY, TYRE_KEY = "wheel ", "tyre "
SAME = 1e-6


def search_begin(
    *,
    car: Car,
    set_up: SetUp,
    use: str,
    start: Mapping[str, str],
    asked: Mapping[str, Any],
    by: User,
) -> WaysSearch:
    """Keep a question; nothing is searched yet. Raises checkfile.BadCheckFile."""
    search = WaysSearch(
        order=car.order,
        pattern=car.pattern,
        axle=set_up.axle,
        use=use,
        start=dict(start),
        asked=dict(asked),
        by=by,
    )
    search.settings = len(_question(search, car, set_up).space.settings)
    search.save()
    return search


def search_stop(*, search: WaysSearch) -> None:
    """What was found so far stays; nothing more is looked for."""
    WaysSearch.objects.filter(pk=search.pk).update(stopped=True)
    search.stopped = True


def search_step(
    *, search: WaysSearch, car: Car, set_up: SetUp, seconds: float = STEP_SECONDS
) -> bool:
    """Search on for about so many seconds; False where another request is at it already."""
    now = timezone.now()
    mine = WaysSearch.objects.filter(
        Q(busy_until__isnull=True) | Q(busy_until__lt=now), pk=search.pk, stopped=False
    ).update(busy_until=now + LOST_AFTER)
    if not mine:
        return False
    search.refresh_from_db()
    until = time.monotonic() + seconds
    try:
        question = _question(search, car, set_up)
        while not search.is_over:
            _some(search, question, set_up)
            if time.monotonic() > until or _was_stopped(search):
                break
    except checkfile.BadCheckFile as bad:
        search.trouble = f"The set-up can no longer be read: {bad}"[:300]
    finally:
        search.busy_until = None
        search.save(
            update_fields=[
                "done",
                "busy_until",
                "found",
                "ruled_out",
                "candidates",
                "judged",
                "trouble",
            ]
        )
    return True


def _was_stopped(search: WaysSearch) -> bool:
    search.stopped = WaysSearch.objects.values_list("stopped", flat=True).get(pk=search.pk)
    return search.stopped


def _some(search: WaysSearch, question: Question, set_up: SetUp) -> None:
    """The next few settings, joined to what was found before."""
    some = question.space.settings[search.done : search.done + TOGETHER]
    found = ways(replace(question, space=replace(question.space, settings=some)))
    planned = next(iter(question.corners.values()))
    names = _names(question.space)
    rows = [*search.found, *(_row(way, planned, names, set_up) for way in found.ways)]
    search.found = few_of(rows, question.aims, question.few)
    counts = Counter({(reason, what): count for reason, what, count in search.ruled_out})
    counts.update({(one.reason, one.what): one.count for one in found.ruled_out})
    search.ruled_out = [[*key, count] for key, count in counts.most_common()]
    search.candidates += found.candidates
    search.judged += found.judged
    search.done += len(some)


def few_of(rows: Iterable[dict[str, Any]], aims: Iterable[str], few: int) -> list[dict[str, Any]]:
    """All rows, each once, those marked ``shown`` that are best for an aim or change other things.

    Rows of one step are the best of that step, so the best of all steps is among them.
    """
    once: dict[str, dict[str, Any]] = {}
    for row in rows:
        once.setdefault(repr(sorted(row["put"].items())), {**row, "shown": False, "wins": []})
    left = sorted(once.values(), key=lambda row: row["effort"])
    shown: list[dict[str, Any]] = []
    for aim in aims:
        best = _best(left, aim)
        if best is not None:
            best["wins"].append(aim)
            if not best["shown"]:
                best["shown"] = True
                shown.append(best)
    for row in left:
        kinds = set(row["changes"])
        new = not row["shown"] and all(not set(other["changes"]) <= kinds for other in shown)
        if new and len(shown) < few:
            row["shown"] = True
            shown.append(row)
    return [*shown, *(row for row in left if not row["shown"])]


def _best(rows: list[dict[str, Any]], aim: str) -> dict[str, Any] | None:
    """The best row for an aim; of equals the smaller change, which stands first."""
    if aim == LEAST_COST:
        priced = [row for row in rows if row["price"] is not None]
        return min(priced, key=lambda row: Decimal(row["price"]), default=None)
    keys = {MOST_ROOM: "slack_mm", WIDEST: "width_mm"}
    if aim in keys:
        return max(rows, key=lambda row: float(row[keys[aim]]), default=None)
    return min(rows, key=lambda row: float(row["effort"]), default=None)


def _row(way: Way, planned: Corner, names: Mapping[str, str], set_up: SetUp) -> dict[str, Any]:
    """A way as plain data: words, figures, and the set-up as the bench writes it."""
    corner = next(iter(way.corners.values()))
    return {
        "words": way_words(way, planned, names=names, decimals=1),
        "room": room_words(way, decimals=1),
        "caution": " ".join(filter(None, [caution_words(way), _reach_unknown(way, planned)])),
        "changes": sorted(way.changes),
        "price": None if way.price is None else str(way.price),
        "effort": round(way.effort, 6),
        "verdict": way.verdict,
        "slack_mm": round(way.slack_mm, 3),
        "width_mm": round(mounted(corner.wheel, corner.tyre).section_width_mm, 1),
        "place": way.tightest.place,
        "clearance_mm": round(way.tightest.clearance_mm, 2),
        "sigma_mm": round(way.tightest.sigma_mm, 2),
        "put": _put(way, corner.planned, set_up),
    }


def _put(way: Way, planned: Planned, set_up: SetUp) -> dict[str, str]:
    """The parameters of the bench that make this way."""

    def text(value: float | None) -> str:
        return "" if value is None else f"{value:.4f}".rstrip("0").rstrip(".")

    wheel, tyre = _pk(way.wheel.key, WHEEL_KEY), _pk(way.tyre.key, TYRE_KEY)
    if not wheel:
        wheel = str(set_up.wheel.pk)
    if not tyre and way.tyre.key == "planned" and set_up.tyre is not None:
        tyre = str(set_up.tyre.pk)
    adjusters = planned.adjusters
    found = {
        "wheel": wheel,
        "tyre": tyre,
        "size": "" if tyre else way.tyre.tyre.size,
        "spacer": text(way.spacer.mm) if way.spacer.mm else "",
        "camber": text(planned.camber_deg),
        "by": planned.camber_by or "",
        "toe": text(planned.toe_deg),
        "height": text(adjusters.ride_height_mm) if adjusters.ride_height_mm else "",
        "packer": text(adjusters.bump_stop_mm) if adjusters.bump_stop_mm else "",
    }
    return found


def _reach_unknown(way: Way, planned: Corner) -> str:
    """That no part on record gives the means which a way changes to; empty otherwise."""
    by = way.setting.camber_by
    if by is None or "means" not in way.changes:
        return ""
    adjuster = CAMBER_MEANS.get(planned.suspension.kind, {}).get(by, by)
    if adjuster in planned.suspension.reach:
        return ""
    return "No part on record gives these means: its reach is not known."


# What may be chosen


def _question(search: WaysSearch, car: Car, set_up: SetUp) -> Question:
    """The engine's question. Raises checkfile.BadCheckFile."""
    duty = DutyModel.objects.get(name=search.use)
    check = checkfile.parse(question_of(car, set_up, duty))
    planned = next(iter(check.corners.values()))
    asked = search.asked
    aims = (LEAST_CHANGE, LEAST_COST, MOST_ROOM)
    if asked.get("wish") == "widest":
        aims = (WIDEST, LEAST_CHANGE, MOST_ROOM)
    return Question(
        corners=check.corners,
        duty=check.duty,
        space=_space(planned, set_up, asked, car),
        within=_within(asked, car, set_up.axle),
        aims=aims,
        few=FEW,
    )


def _space(planned: Corner, set_up: SetUp, asked: Mapping[str, Any], car: Car) -> Space:
    may = set(asked.get("may", ()))
    cambers = _cambers(planned.planned, asked) if "camber" in may else ()
    height = planned.planned.adjusters.ride_height_mm
    packer = planned.planned.adjusters.bump_stop_mm
    steps = Steps(
        camber_deg=cambers,
        means=None if "means" in may else (),
        ride_height_mm=tuple(height + by for by in HIGHER_MM) if "height" in may else (),
        bump_stop_mm=tuple(packer + by for by in PACKERS_MM) if "packer" in may else (),
    )
    wheels, tyres = on_the_plan(
        planned.wheel,
        planned.tyre,
        _wheels(car.pattern, set_up.wheel) if "wheel" in may else [_wheel(set_up.wheel)],
        _tyres(set_up, asked, may),
    )
    return Space(
        settings_within(planned.planned, planned.suspension, steps, MOST_SETTINGS),
        wheels,
        tyres,
        _spacers(set_up.spacer_mm, "spacer" in may),
    )


def _cambers(planned: Planned, asked: Mapping[str, Any]) -> tuple[float, ...]:
    """Targets half a degree apart inside the range that is asked for."""
    low, high = asked.get("camber_from"), asked.get("camber_to")
    if low is None or high is None:
        return ()
    count = int((high - low) / CAMBER_STEP_DEG + SAME)
    return tuple(
        round(high - CAMBER_STEP_DEG * i, 4)
        for i in range(count + 1)
        if planned.camber_deg is None or abs(high - CAMBER_STEP_DEG * i - planned.camber_deg) > SAME
    )


def _wheel(row: WheelModel) -> WheelChoice:
    problems: list[checkfile.Problem] = []
    wheel = read_wheel(Node(row.as_document(spacer_mm=0.0), "wheel", problems).table())
    return WheelChoice(f"{WHEEL_KEY}{row.pk}", wheel, row.price, row.load_rating_kg)


def _wheels(pattern: Pattern | None, now: WheelModel) -> list[WheelChoice]:
    """Wheels of the catalogue whose bolts suit the pattern as far as both are known."""
    rows = WheelModel.objects.all()
    if pattern is not None and pattern.bolt_count and pattern.bolt_circle_mm:
        rows = rows.filter(
            Q(bolt_count__isnull=True) | Q(bolt_count=pattern.bolt_count),
            Q(bolt_circle_mm__isnull=True) | Q(bolt_circle_mm=pattern.bolt_circle_mm),
        )
    others = [row for row in rows[:MOST_WHEELS] if row.pk != now.pk]
    return [_wheel(now), *(_wheel(row) for row in others)]


def _tyres(set_up: SetUp, asked: Mapping[str, Any], may: set[str]) -> list[TyreChoice]:
    rows = list(TyreModel.objects.all()[:MOST_TYRES]) if "tyre" in may else []
    if set_up.tyre is not None:
        rows = [set_up.tyre, *(row for row in rows if row.pk != set_up.tyre.pk)]
    found = [choice for row in rows if (choice := _tyre(row, set_up)) is not None]
    if "sizes" in may:
        diameter = (asked.get("diameter_from") or 500.0, asked.get("diameter_to") or 800.0)
        rim, width = set_up.wheel.diameter_in, set_up.wheel.width_in
        found += standard_sizes(rim, width, diameter_mm=diameter)
    return found


def _tyre(row: TyreModel, set_up: SetUp) -> TyreChoice | None:
    problems: list[checkfile.Problem] = []
    is_now = set_up.tyre is not None and row.pk == set_up.tyre.pk
    document = row.as_document(set_up.wheel.width_in if is_now else None) | dict(set_up.state)
    wheel = read_wheel(Node(set_up.wheel.as_document(spacer_mm=0.0), "wheel", problems).table())
    try:
        tyre = read_tyre(Node(document, "tyre", problems).table(), wheel)
    except (BadSize, BadSection):
        return None
    limits = (row.rim_min_in, row.rim_max_in)
    return TyreChoice(
        f"{TYRE_KEY}{row.pk}",
        tyre,
        row.price,
        int(row.load_index) if row.load_index.isdigit() else None,
        row.speed_symbol,
        (limits[0], limits[1]) if limits[0] is not None and limits[1] is not None else None,
    )


def _spacers(now_mm: float, may: bool) -> tuple[SpacerChoice, ...]:
    """The spacer that is planned, none, and usual thicknesses at the price of the shop's own."""
    if not may:
        return (SpacerChoice(now_mm, Decimal(0)),)
    priced = Part.objects.filter(kind=PartKind.SPACER).order_by("price").first()
    price = priced.price if priced else None
    others = [mm for mm in (0.0, *SPACERS_MM) if abs(mm - now_mm) > SAME]
    return (
        SpacerChoice(now_mm, Decimal(0)),
        *(SpacerChoice(mm, price if mm else Decimal(0)) for mm in others),
    )


def _names(space: Space) -> dict[str, str]:
    """Names of wheels and tyres by the keys of their choices, sizes left to the words."""
    wheels = [pk for one in space.wheels if (pk := _pk(one.key, WHEEL_KEY))]
    tyres = [pk for one in space.tyres if (pk := _pk(one.key, TYRE_KEY))]
    named = {f"{WHEEL_KEY}{row.pk}": str(row) for row in WheelModel.objects.filter(pk__in=wheels)}
    for row in TyreModel.objects.filter(pk__in=tyres):
        named[f"{TYRE_KEY}{row.pk}"] = str(row)
    return named


def _pk(key: str, kind: str) -> str:
    """The row that a choice stands for; empty for a size that is none, and for other kinds."""
    rest = key.removeprefix(kind)
    return rest if rest != key and rest.isdigit() else ""


# Within which limits


def _within(asked: Mapping[str, Any], car: Car, axle: str) -> Within:
    def span(name: str) -> tuple[float, float] | None:
        low, high = asked.get(f"{name}_from"), asked.get(f"{name}_to")
        return None if low is None or high is None else (low, high)

    budget = asked.get("budget")
    load, speed = job_needs(car.pattern, axle)
    return Within(
        camber_deg=span("camber"),
        diameter_mm=span("diameter"),
        load_kg=load,
        speed_kmh=speed,
        budget=Decimal(budget) if budget else None,
        rules=tuple(class_limits(car.order, axle)),
    )


def job_needs(pattern: Pattern | None, axle: str) -> tuple[float | None, float | None]:
    """Load on one wheel, kg, and top speed, km/h, that the pattern asks for; None if not known."""
    if pattern is None:
        return None, None
    load = getattr(pattern, f"axle_load_{axle}_kg")
    return (load / 2 if load else None), pattern.top_speed_kmh


def class_limits(order: WorkOrder | None, axle: str) -> list[Rule]:
    """The rules of the order's class that a way has to keep."""
    if order is None or order.class_record_id is None:
        return []
    rows = ClassRule.objects.filter(record=order.class_record_id)
    rules = [_rule(row) for row in rows if row.axle in (axle, Axle.ANY, "")]
    return [rule for rule in rules if rule is not None]


def _rule(row: ClassRule) -> Rule | None:
    limit, name = row.limit or 0.0, str(row)
    kind = RuleKind(row.kind)
    if kind == RuleKind.CAMBER_MOST:
        most = -abs(limit) - SAME
        return Rule(name, setting=lambda plan: plan.camber_deg is None or plan.camber_deg >= most)
    if kind == RuleKind.LOWERED_MOST:
        return Rule(name, setting=lambda plan: plan.adjusters.ride_height_mm >= -limit - SAME)
    if kind == RuleKind.WHEEL_WIDTH_MOST:
        return Rule(name, fit=lambda wheel, tyre, _: wheel.wheel.width_in <= limit + SAME)
    if kind == RuleKind.WHEEL_DIAMETER_MOST:
        return Rule(name, fit=lambda wheel, tyre, _: wheel.wheel.diameter_in <= limit + SAME)
    if kind == RuleKind.TYRE_WIDTH_MOST:
        return Rule(name, fit=lambda wheel, tyre, _: _nominal(tyre) <= limit + SAME)
    if kind == RuleKind.ADJUSTER_BARRED:
        return Rule(name, setting=lambda plan: _adjuster_of(plan) != row.item)
    if kind == RuleKind.PART_BARRED and row.item == PartKind.SPACER:
        return Rule(name, fit=lambda wheel, tyre, spacer_mm: not spacer_mm)
    return None


def _adjuster_of(plan: Planned) -> str:
    by = plan.camber_by or ""
    return MEANS_ADJUSTER.get(by, by)


def _nominal(tyre: TyreChoice) -> float:
    try:
        return size_of(tyre.tyre.size).width_mm
    except BadSize:
        return 0.0
