"""What a search tells people, as messages: what an option changes, what it leaves, what fell."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from alignment.geometry.adjuster_units import camber_method
from common.message import Message, message
from fitment.engine.findings import pose
from fitment.engine.model import Corner, Wheel
from fitment.engine.search.model import Option
from fitment.engine.search.space import (
    CAMBER,
    CAMBER_METHOD,
    HEIGHT,
    LIPS,
    PACKER,
    SPACER,
    TYRE,
    WHEEL,
)

#: Names of wheels and tyres by the keys of their choices; without a name the size stands alone.
Names = Mapping[str, str]
#: Changes of height below this are none, mm.
NO_HEIGHT_MM = 0.005


def changes_of(option: Option, planned: Corner, names: Names | None = None) -> Message:
    """What an option changes of the planned corner."""
    parts = tuple(_changes(option, planned, names or {}))
    return message("option.changes", parts=parts) if parts else message("option.as-planned")


def tightest_of(option: Option) -> Message:
    """How much clearance an option leaves where it is tightest, with its uncertainty."""
    spot = option.tightest
    if not spot.is_measured:
        return message("option.nothing-measured")
    return message(
        "option.tightest",
        spot=spot.place,
        gap_mm=spot.clearance_mm,
        sigma_mm=spot.sigma_mm,
        needed_mm=spot.needed_mm,
        pose=pose(spot),
    )


def cautions_of(option: Option) -> Iterator[Message]:
    """What is not known about an option, and what it does not keep, a sentence each."""
    if option.tyre.nominal:
        yield message("option.nominal", size=option.tyre.tyre.size)
    if option.not_known:
        yield message("option.not-known", limits=option.not_known)
    told = (note for answer in option.answers.values() for note in answer.notes)
    yield from dict.fromkeys(note for note in told if note.code == "note.rim-leads")
    for rule in option.broken:
        yield message("option.broken", rule=rule)


def wheel_size(wheel: Wheel) -> Message:
    """A wheel as the trade writes it: 9×18 ET40."""
    return message(
        "wheel-size", width=wheel.width_in, diameter=wheel.diameter_in, offset=wheel.offset_mm
    )


def _changes(option: Option, planned: Corner, names: Names) -> Iterator[Message]:
    yield from _camber(option, planned)
    yield from _height(option, planned)
    yield from _packer(option, planned)
    if LIPS in option.changes:
        yield message("change.lips")
    if WHEEL in option.changes:
        new = _named(names.get(option.wheel.key, ""), wheel_size(option.wheel.wheel))
        yield message("change.instead", new=new, now=wheel_size(planned.wheel))
    yield from _tyre(option, planned, names)
    yield from _spacer(option, planned)


def _camber(option: Option, planned: Corner) -> Iterator[Message]:
    plan, change = planned.planned, option.setting
    by = camber_method(change.camber_by or plan.camber_by or "")
    other = CAMBER_METHOD in option.changes
    if CAMBER in option.changes and change.camber_deg is not None:
        told = message("change.camber", camber_deg=change.camber_deg)
        if plan.camber_deg is not None:
            told = message(
                "change.camber-instead", camber_deg=change.camber_deg, now_deg=plan.camber_deg
            )
        yield message("change.camber-by", camber=told, by=by) if other else told
    elif other:
        yield message("change.same-camber-by", by=by)


def _height(option: Option, planned: Corner) -> Iterator[Message]:
    new = option.setting.ride_height_mm
    if HEIGHT in option.changes and new is not None:
        now = planned.planned.adjusters.ride_height_mm
        yield message("change.instead", new=_stand(new), now=_stand(now))


def _stand(height: float) -> Message:
    """How a car stands against its survey."""
    if abs(height) < NO_HEIGHT_MM:
        return message("height.as-surveyed")
    return message("height.raised" if height > 0 else "height.lowered", by_mm=abs(height))


def _packer(option: Option, planned: Corner) -> Iterator[Message]:
    new = option.setting.bump_stop_mm
    if PACKER not in option.changes or new is None:
        return
    now = planned.planned.adjusters.bump_stop_mm
    if not new:
        yield message("change.no-packer")
    elif now:
        yield message("change.packer-instead", new_mm=new, now_mm=now)
    else:
        yield message("change.packer", new_mm=new)


def _tyre(option: Option, planned: Corner, names: Names) -> Iterator[Message]:
    if TYRE not in option.changes:
        return
    name, new, now = names.get(option.tyre.key, ""), option.tyre.tyre, planned.tyre
    if new.size != now.size or name:
        yield message("change.instead", new=_named(name, new.size), now=now.size)
    elif new.section_width_mm is None:
        yield message("change.another", size=new.size)
    else:
        yield message("change.another-wide", size=new.size, width_mm=new.section_width_mm)


def _spacer(option: Option, planned: Corner) -> Iterator[Message]:
    if SPACER not in option.changes:
        return
    new, now = option.spacer.mm, planned.wheel.spacer_mm
    if not new:
        yield message("change.no-spacer")
    elif now:
        yield message("change.spacer-instead", new_mm=new, now_mm=now)
    else:
        yield message("change.spacer", new_mm=new)


def _named(name: str, size: str | Message) -> str | Message:
    """A name with the size, which a name of the shop's own often says already."""
    if not name:
        return size
    if isinstance(size, str) and size in name:
        return name
    return message("named-size", name=name, size=size)
