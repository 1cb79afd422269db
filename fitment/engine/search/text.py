"""Ways to clear in words, for a service writer and a customer.

Whole millimetres for customers (``decimals=0``, the default here), tenths for technicians.
Prices are the shop's to write: nothing here says a sum.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from common.verdicts import Verdict
from fitment.engine.model import Corner, Tyre, Wheel
from fitment.engine.search.model import (
    BEYOND,
    CAMBER_LIMIT,
    LEAST_CHANGE,
    LEAST_COST,
    MOST_ROOM,
    NO_ROOM,
    NOT_LOOKED_AT,
    ON_STOPS,
    OUT_OF_REACH,
    TOO_CLOSE,
    TOUCHES,
    WIDEST,
    RuledOut,
    Way,
)
from fitment.engine.search.space import (
    BUDGET,
    CAMBER,
    DIAMETER,
    HEIGHT,
    LIPS,
    LOAD,
    MEANS,
    NO_SECTION,
    PACKER,
    RIM_DIAMETER,
    RIM_WIDTH,
    RULE,
    SPACER,
    SPEED,
    TYRE,
    WHEEL,
    WHEEL_LOAD,
    WIDTH,
)
from fitment.engine.words import adjuster_words, length_mm, pose_words

#: Names of wheels and tyres by the keys of their choices; without a name the size stands alone.
Names = Mapping[str, str]

MEANS_WORDS: dict[str, str] = {
    "top_mount": "the top mount",
    "lower_arm": "the lower arm",
    "upper_arm": "the upper arm",
    "knuckle": "the knuckle bolts",
}

AIM_WORDS: dict[str, str] = {
    LEAST_CHANGE: "Least change",
    LEAST_COST: "Least cost",
    MOST_ROOM: "Most room",
    WIDEST: "Widest tyre",
}


def means_words(means: str) -> str:
    """A means of camber: ``rod:upper front`` becomes the link “upper front”."""
    if means.startswith("rod:"):
        return f"the link “{means[4:]}”"
    return MEANS_WORDS.get(means, means.replace("_", " "))


def way_words(way: Way, planned: Corner, *, names: Names | None = None, decimals: int = 0) -> str:
    """What a way changes of the planned corner, as one phrase; "As planned" where nothing."""
    names = names or {}
    parts = [
        _camber(way, planned),
        _height(way, planned, decimals),
        _packer(way, planned, decimals),
        "fender lips rolled" if LIPS in way.changes else "",
        _wheel(way, planned, names),
        _tyre(way, planned, names),
        _spacer(way, planned, decimals),
    ]
    said = ", ".join(part for part in parts if part)
    return f"{said[0].upper()}{said[1:]}" if said else "As planned"


def room_words(way: Way, *, decimals: int = 0) -> str:
    """How much room a way leaves where it is tightest, with its doubt."""
    place = way.tightest
    return (
        f"Tightest at the {place.place}: {length_mm(place.clearance_mm, decimals)} of room, give "
        f"or take {length_mm(place.sigma_mm, decimals)}, where {place.needed_mm:g} mm is wanted, "
        f"{pose_words(place)}."
    )


def cautions(way: Way) -> list[str]:
    """What nobody knows about a way, and what it does not keep, a sentence each."""
    said = []
    if way.tyre.nominal:
        said.append(
            f"{way.tyre.tyre.size} is a standard size by its marking; measure a real tyre of it "
            "before it is mounted."
        )
    if way.not_known:
        said.append(f"Not known: {', '.join(way.not_known)}.")
    said += [f"Not kept by anything that may change here: {rule}." for rule in way.broken]
    return said


def caution_words(way: Way) -> str:
    """All of that in one; empty where there is nothing."""
    return " ".join(cautions(way))


def ruled_out_words(one: RuledOut) -> str:
    """How many candidates fell, and why."""
    many = "1 candidate" if one.count == 1 else f"{one.count:,} candidates".replace(",", " ")
    return f"{many}: {_reason(one)}"


# --- Changes ----------------------------------------------------------------------------


def _camber(way: Way, planned: Corner) -> str:
    plan, change = planned.planned, way.setting
    by = means_words(change.camber_by or plan.camber_by or "")
    if CAMBER in way.changes and change.camber_deg is not None:
        now = "" if plan.camber_deg is None else f" in place of {_signed(plan.camber_deg)}°"
        other = f", by {by}" if MEANS in way.changes else ""
        return f"camber {_signed(change.camber_deg)}°{now}{other}"
    return f"same camber by {by}" if MEANS in way.changes else ""


def _height(way: Way, planned: Corner, decimals: int) -> str:
    if HEIGHT not in way.changes or way.setting.ride_height_mm is None:
        return ""
    now, new = planned.planned.adjusters.ride_height_mm, way.setting.ride_height_mm
    before = _mm(abs(now), decimals) if now * new > 0 else _stand(now, decimals)
    return f"{_stand(new, decimals)} in place of {before}"


def _stand(height: float, decimals: int) -> str:
    """How a car stands against its survey."""
    if abs(height) < 0.005:
        return "height as surveyed"
    return f"{'raised' if height > 0 else 'lowered'} {_mm(abs(height), decimals)}"


def _packer(way: Way, planned: Corner, decimals: int) -> str:
    if PACKER not in way.changes or way.setting.bump_stop_mm is None:
        return ""
    now, new = planned.planned.adjusters.bump_stop_mm, way.setting.bump_stop_mm
    if not new:
        return "no bump packer"
    instead = f" in place of {_mm(now, decimals)}" if now else ""
    return f"a bump packer of {_mm(new, decimals)}{instead}"


def _wheel(way: Way, planned: Corner, names: Names) -> str:
    if WHEEL not in way.changes:
        return ""
    name = names.get(way.wheel.key, "")
    return f"{_named(name, wheel_size(way.wheel.wheel))} in place of {wheel_size(planned.wheel)}"


def _tyre(way: Way, planned: Corner, names: Names) -> str:
    if TYRE not in way.changes:
        return ""
    name, new, now = names.get(way.tyre.key, ""), way.tyre.tyre, planned.tyre
    if new.size == now.size and not name:
        return f"another {new.size}{_width(new)}"
    return f"{_named(name, new.size)} in place of {now.size}"


def _spacer(way: Way, planned: Corner, decimals: int) -> str:
    if SPACER not in way.changes:
        return ""
    now = planned.wheel.spacer_mm
    if not way.spacer.mm:
        return "no spacer"
    instead = f" in place of {_mm(now, decimals)}" if now else ""
    return f"a spacer of {_mm(way.spacer.mm, decimals)}{instead}"


def wheel_size(wheel: Wheel) -> str:
    """A wheel as the trade writes it: 9×18 ET40."""
    return f"{wheel.width_in:g}×{wheel.diameter_in:g} ET{wheel.offset_mm:g}"


def _width(tyre: Tyre) -> str:
    return "" if tyre.section_width_mm is None else f", {tyre.section_width_mm:.0f} mm wide"


def _named(name: str, size: str) -> str:
    return size if not name else name if size in name else f"{name} {size}"


def _mm(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    return f"{text.rstrip('0').rstrip('.') if decimals else text} mm"


def _signed(value: float) -> str:
    return "0" if abs(value) < 0.005 else f"{value:+.2f}".rstrip("0").rstrip(".").replace("-", "−")


# --- Reasons ----------------------------------------------------------------------------

_REASONS: dict[str, Callable[[str], str]] = {
    TOUCHES: lambda what: f"would touch the {what}",
    TOO_CLOSE: lambda what: f"too close to the {what} to be sure",
    Verdict.DOUBTFUL: lambda what: f"too close to the {what} to be sure",
    Verdict.UNMEASURED: lambda what: f"not measured well enough ({what})",
    OUT_OF_REACH: lambda what: f"beyond what the parts allow ({adjuster_words(what).name})",
    BEYOND: lambda what: "the suspension cannot take the setting",
    ON_STOPS: lambda what: "the car would rest on its stops",
    CAMBER_LIMIT: lambda what: f"camber of {what.replace('-', '−')} is outside the target range",
    NO_SECTION: lambda what: f"{what} cannot be mounted on the wheel",
    RIM_DIAMETER: lambda what: f"a tyre for a rim of {what} on another wheel",
    RIM_WIDTH: lambda what: f"the tyre is not approved for a rim {what} wide",
    DIAMETER: lambda what: f"overall diameter of {what} is outside the limits",
    WIDTH: lambda what: f"section width of {what} is outside the limits",
    LOAD: lambda what: f"load index {what} does not carry the car",
    WHEEL_LOAD: lambda what: f"a wheel for {what} does not carry the car",
    SPEED: lambda what: f"speed symbol {what} is too slow for the car",
    BUDGET: lambda what: "dearer than the budget",
    RULE: lambda what: f"not allowed: {what}",
    NO_ROOM: lambda what: "rolling the fender lips would make no room",
    NOT_LOOKED_AT: lambda what: "not looked at, since enough was found before them",
}


def _reason(one: RuledOut) -> str:
    words = _REASONS.get(one.reason)
    return f"{one.reason} {one.what}".strip() if words is None else words(one.what)
