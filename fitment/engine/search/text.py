"""Ways to clear in words, for a service writer and a customer.

Whole millimetres for customers (``decimals=0``, the default here), tenths for technicians.
Prices are the shop's to write: nothing here says a sum.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from common.verdicts import Verdict
from fitment.engine.model import Corner, Tyre, Wheel
from fitment.engine.search.limits import (
    BUDGET,
    DIAMETER,
    LOAD,
    NO_SECTION,
    RIM_DIAMETER,
    RIM_WIDTH,
    RULE,
    SPEED,
    WHEEL_LOAD,
    WIDTH,
)
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
    Option,
    RuledOut,
)
from fitment.engine.search.space import CAMBER, HEIGHT, LIPS, MEANS, PACKER, SPACER, TYRE, WHEEL
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


def camber_method_text(camber_method: str) -> str:
    """A means of camber: ``rod:upper front`` becomes the link “upper front”."""
    if camber_method.startswith("rod:"):
        return f"the link “{camber_method[4:]}”"
    return MEANS_WORDS.get(camber_method, camber_method.replace("_", " "))


def option_words(
    option: Option, planned: Corner, *, names: Names | None = None, decimals: int = 0
) -> str:
    """What a way changes of the planned corner, as one phrase; "As planned" where nothing."""
    names = names or {}
    parts = [
        _camber(option, planned),
        _height(option, planned, decimals),
        _packer(option, planned, decimals),
        "fender lips rolled" if LIPS in option.changes else "",
        _wheel(option, planned, names),
        _tyre(option, planned, names),
        _spacer(option, planned, decimals),
    ]
    said = ", ".join(part for part in parts if part)
    return f"{said[0].upper()}{said[1:]}" if said else "As planned"


def clearance_words(option: Option, *, decimals: int = 0) -> str:
    """How much room a way leaves where it is tightest, with its doubt."""
    place = option.tightest
    return (
        f"Tightest at the {place.place}: {length_mm(place.clearance_mm, decimals)} of room, give "
        f"or take {length_mm(place.sigma_mm, decimals)}, where {place.needed_mm:g} mm is wanted, "
        f"{pose_words(place)}."
    )


def cautions(option: Option) -> list[str]:
    """What nobody knows about a way, and what it does not keep, a sentence each."""
    said = []
    if option.tyre.nominal:
        said.append(
            f"{option.tyre.tyre.size} is a standard size by its marking; measure a real tyre of it "
            "before it is mounted."
        )
    if option.not_known:
        said.append(f"Not known: {', '.join(option.not_known)}.")
    said += [f"Not kept by anything that may change here: {rule}." for rule in option.broken]
    return said


def caution_words(option: Option) -> str:
    """All of that in one; empty where there is nothing."""
    return " ".join(cautions(option))


def ruled_out_words(one: RuledOut) -> str:
    """How many candidates fell, and why."""
    many = "1 candidate" if one.count == 1 else f"{one.count:,} candidates".replace(",", " ")
    return f"{many}: {_reason(one)}"


# --- Changes ----------------------------------------------------------------------------


def _camber(option: Option, planned: Corner) -> str:
    plan, change = planned.planned, option.setting
    by = camber_method_text(change.camber_by or plan.camber_by or "")
    if CAMBER in option.changes and change.camber_deg is not None:
        now = "" if plan.camber_deg is None else f" in place of {_signed(plan.camber_deg)}°"
        other = f", by {by}" if MEANS in option.changes else ""
        return f"camber {_signed(change.camber_deg)}°{now}{other}"
    return f"same camber by {by}" if MEANS in option.changes else ""


def _height(option: Option, planned: Corner, decimals: int) -> str:
    if HEIGHT not in option.changes or option.setting.ride_height_mm is None:
        return ""
    now, new = planned.planned.adjusters.ride_height_mm, option.setting.ride_height_mm
    before = _mm(abs(now), decimals) if now * new > 0 else _stand(now, decimals)
    return f"{_stand(new, decimals)} in place of {before}"


def _stand(height: float, decimals: int) -> str:
    """How a car stands against its survey."""
    if abs(height) < 0.005:
        return "height as surveyed"
    return f"{'raised' if height > 0 else 'lowered'} {_mm(abs(height), decimals)}"


def _packer(option: Option, planned: Corner, decimals: int) -> str:
    if PACKER not in option.changes or option.setting.bump_stop_mm is None:
        return ""
    now, new = planned.planned.adjusters.bump_stop_mm, option.setting.bump_stop_mm
    if not new:
        return "no bump packer"
    instead = f" in place of {_mm(now, decimals)}" if now else ""
    return f"a bump packer of {_mm(new, decimals)}{instead}"


def _wheel(option: Option, planned: Corner, names: Names) -> str:
    if WHEEL not in option.changes:
        return ""
    name = names.get(option.wheel.key, "")
    return f"{_named(name, wheel_size(option.wheel.wheel))} in place of {wheel_size(planned.wheel)}"


def _tyre(option: Option, planned: Corner, names: Names) -> str:
    if TYRE not in option.changes:
        return ""
    name, new, now = names.get(option.tyre.key, ""), option.tyre.tyre, planned.tyre
    if new.size == now.size and not name:
        return f"another {new.size}{_width(new)}"
    return f"{_named(name, new.size)} in place of {now.size}"


def _spacer(option: Option, planned: Corner, decimals: int) -> str:
    if SPACER not in option.changes:
        return ""
    now = planned.wheel.spacer_mm
    if not option.spacer.mm:
        return "no spacer"
    instead = f" in place of {_mm(now, decimals)}" if now else ""
    return f"a spacer of {_mm(option.spacer.mm, decimals)}{instead}"


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
