"""What a search for options may choose from: settings, wheels, tyres and spacers."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from django.db.models import Q

from alignment.geometry.model import Planned
from common.numerals import whole
from fitment.engine import checkfile
from fitment.engine.checkfile.reader import Node
from fitment.engine.checkfile.setting import read_tyre, read_wheel
from fitment.engine.minimum.rolled_lips import moves_out_mm
from fitment.engine.model import Corner, Duty, Tyre, Wheel
from fitment.engine.search.aims import LEAST_CHANGE, LEAST_COST, MOST_CLEARANCE, WIDEST
from fitment.engine.search.model import Question
from fitment.engine.search.settings import Steps, settings_within
from fitment.engine.search.sizes import standard_sizes
from fitment.engine.search.space import Space, SpacerChoice, TyreChoice, WheelChoice, on_the_plan
from fitment.engine.solid.designation import BadSize
from fitment.engine.solid.mounted import BadSection
from fitment.job.car import Car
from fitment.models import TyreModel, WheelModel
from fitment.tryout.data import TYRE_KEY, WHEEL_KEY, SetUp, pk_in
from fitment.tryout.limits import MountingRules, within_for
from fitment.tryout.parts import camber_method_prices, known_price, passes_mounting
from shop.models import Part, PartKind

if TYPE_CHECKING:
    from shop.models import CarModel

FEW = 5
SPACERS_MM = (3.0, 5.0, 8.0, 10.0, 12.0, 15.0)
HIGHER_MM = (5.0, 10.0, 15.0)
PACKERS_MM = (5.0, 10.0, 15.0)
#: Targets of camber lie so far apart, or closer where the range is narrower.
CAMBER_STEP_DEG, LEAST_CAMBERS = 0.5, 2
SAME = 1e-6


def question_for(
    corners: Mapping[str, Corner], duty: Duty, car: Car, set_up: SetUp, asked: Mapping[str, Any]
) -> Question:
    """The engine's question: ``corners`` as they are planned, ``asked`` as the form says it."""
    planned = next(iter(corners.values()))
    aims = (LEAST_CHANGE, LEAST_COST, MOST_CLEARANCE)
    if asked.get("goal") == "widest":
        aims = (WIDEST, LEAST_CHANGE, MOST_CLEARANCE)
    may = set(asked.get("may", ()))
    wheels = _wheels(car.car_model, set_up.wheel) if "wheel" in may else [set_up.wheel]
    tyres = _tyres(set_up, may)
    rules = MountingRules(
        car,
        set_up,
        {f"{WHEEL_KEY}{row.pk}": row for row in wheels},
        {f"{TYRE_KEY}{row.pk}": row for row in tyres},
    )
    space = _space(corners, set_up, asked, wheels, tyres)
    return Question(
        corners=corners,
        duty=duty,
        space=space,
        within=within_for(asked, car, set_up.axle, rules).for_space(space, planned.planned),
        aims=aims,
        few=FEW,
        passes=passes_mounting(duty, set_up.axle),
    )


def names_of(space: Space) -> dict[str, str]:
    """Names of wheels and tyres by the keys of their choices, sizes left to the words."""
    wheels = [pk for one in space.wheels if (pk := pk_in(one.key, WHEEL_KEY))]
    tyres = [pk for one in space.tyres if (pk := pk_in(one.key, TYRE_KEY))]
    named = {f"{WHEEL_KEY}{row.pk}": str(row) for row in WheelModel.every.filter(pk__in=wheels)}
    for row in TyreModel.every.filter(pk__in=tyres):
        named[f"{TYRE_KEY}{row.pk}"] = str(row)
    return named


def _space(
    corners: Mapping[str, Corner],
    set_up: SetUp,
    asked: Mapping[str, Any],
    wheels: Iterable[WheelModel],
    tyres: Iterable[TyreModel],
) -> Space:
    may = set(asked.get("may", ()))
    planned = next(iter(corners.values()))
    height = planned.planned.adjusters.ride_height_mm
    packer = planned.planned.adjusters.bump_stop_mm
    steps = Steps(
        camber_deg=_cambers(planned.planned, asked) if "camber" in may else (),
        camber_method=None if "camber_method" in may else (),
        ride_height_mm=tuple(height + by for by in HIGHER_MM) if "height" in may else (),
        bump_stop_mm=tuple(packer + by for by in PACKERS_MM) if "packer" in may else (),
        prices=camber_method_prices(corners) if "camber_method" in may else {},
        rolled_lips="lips" in may
        and any(moves_out_mm(f) > 0 for one in corners.values() for f in one.survey.features),
    )
    found = [choice for row in tyres if (choice := _tyre(row, set_up)) is not None]
    if "sizes" in may:
        found += _sizes(set_up, wheels, asked, {choice.tyre.size for choice in found})
    choices, worn = on_the_plan(planned.wheel, planned.tyre, [_wheel(row) for row in wheels], found)
    return Space(
        settings_within(planned.planned, planned.suspension, steps),
        choices,
        worn,
        _spacers(set_up.spacer_mm, "spacer" in may),
    )


def _sizes(
    set_up: SetUp, wheels: Iterable[WheelModel], asked: Mapping[str, Any], known: Collection[str]
) -> list[TyreChoice]:
    """Standard sizes for the wheel that is planned, or where ``every_rim`` is asked for all rims,
    without those that are ``known`` already."""
    diameter = (asked.get("diameter_from") or 500.0, asked.get("diameter_to") or 800.0)
    rims = [set_up.wheel, *wheels] if asked.get("every_rim") else [set_up.wheel]
    found: dict[str, TyreChoice] = {}
    for rim, width in dict.fromkeys((row.diameter_in, row.width_in) for row in rims):
        for choice in standard_sizes(rim, width, diameter_mm=diameter):
            if not (asked.get("every_rim") and choice.tyre.size in known):
                found.setdefault(choice.key, choice)
    return list(found.values())


def _cambers(planned: Planned, asked: Mapping[str, Any]) -> tuple[float, ...]:
    """Targets inside the range that is asked for, from its upper end down."""
    low, high = asked.get("camber_from"), asked.get("camber_to")
    if low is None or high is None:
        return ()
    step = min(CAMBER_STEP_DEG, (high - low) / LEAST_CAMBERS) or CAMBER_STEP_DEG
    count = int((high - low) / step + SAME)
    return tuple(
        target
        for i in range(count + 1)
        if abs((target := round(high - step * i, 4)) - (planned.camber_deg or 0.0)) > SAME
        or planned.camber_deg is None
    )


def _wheel(row: WheelModel) -> WheelChoice:
    return WheelChoice(f"{WHEEL_KEY}{row.pk}", _read_wheel(row), row.price, row.load_rating_kg)


def _read_wheel(row: WheelModel) -> Wheel:
    problems: list[checkfile.Problem] = []
    return read_wheel(Node(row.as_document(spacer_mm=0.0), "wheel", problems).table())


def _wheels(car_model: CarModel | None, now: WheelModel) -> list[WheelModel]:
    """The wheel that is planned, and those that suit the car model."""
    return [now, *(row for row in wheels_for(car_model) if row.pk != now.pk)]


def wheels_for(car_model: CarModel | None) -> list[WheelModel]:
    """Wheels of the catalogue whose bolts suit the car model as far as both are known."""
    rows = WheelModel.objects.all()
    if car_model is not None and car_model.bolt_count and car_model.bolt_circle_mm:
        rows = rows.filter(
            Q(bolt_count__isnull=True) | Q(bolt_count=car_model.bolt_count),
            Q(bolt_circle_mm__isnull=True) | Q(bolt_circle_mm=car_model.bolt_circle_mm),
        )
    return list(rows)


def _tyres(set_up: SetUp, may: set[str]) -> list[TyreModel]:
    """Tyres of the catalogue, the one that is planned first."""
    rows = list(TyreModel.objects.all()) if "tyre" in may else []
    return [set_up.worn, *(row for row in rows if row.pk != set_up.worn.pk)]


def _tyre(row: TyreModel, set_up: SetUp) -> TyreChoice | None:
    """A tyre of the catalogue, with its traced section for the rim that it was traced on."""
    plain = _read_tyre(row, set_up, None)
    if plain is None:
        return None
    rim = row.pooled.get("profile_rim_in")
    traced = None if rim is None else _read_tyre(row, set_up, rim)
    limits = (row.rim_min_in, row.rim_max_in)
    return TyreChoice(
        f"{TYRE_KEY}{row.pk}",
        plain,
        row.price,
        whole(row.load_index),
        row.speed_symbol,
        (limits[0], limits[1]) if limits[0] is not None and limits[1] is not None else None,
        traced=None if rim is None or traced is None else (rim, traced),
    )


def _read_tyre(row: TyreModel, set_up: SetUp, rim_in: float | None) -> Tyre | None:
    """A tyre in the state in which the job judges it; None where it describes no section."""
    problems: list[checkfile.Problem] = []
    document = row.as_document(rim_in) | dict(set_up.state)
    try:
        return read_tyre(Node(document, "tyre", problems).table(), _read_wheel(set_up.wheel))
    except (BadSize, BadSection):
        return None


def _spacers(now_mm: float, may: bool) -> tuple[SpacerChoice, ...]:
    """The spacer that is planned, none, and usual thicknesses at the price of the shop's own."""
    if not may:
        return (SpacerChoice(now_mm, Decimal(0)),)
    spacers = Part.objects.filter(kind=PartKind.SPACER)
    price = known_price(spacers.filter(price__gt=0).order_by("price").first())
    others = [mm for mm in (0.0, *SPACERS_MM) if abs(mm - now_mm) > SAME]
    return (
        SpacerChoice(now_mm, Decimal(0)),
        *(SpacerChoice(mm, price if mm else Decimal(0)) for mm in others),
    )
