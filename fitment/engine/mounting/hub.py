"""Does this wheel go on this hub, and do its nuts or bolts hold it? Lengths in millimetres."""

from __future__ import annotations

from common.message import message
from fitment.engine.mounting.facts import BOLT, CLOSED, OPEN, SEATS, Fitted, Hub, thread_of
from fitment.engine.mounting.law import PRACTICE, Law
from fitment.engine.mounting.rule import Result, absent, rule_of, source_of

SAME_CIRCLE_MM = 0.06
"""Bolt circles closer than this are one: catalogues round 114.3 and 5.5 in alike."""
SAME_BORE_MM = 0.2
"""A bore is centred on a hub, or a ring in a bore, up to so much play; shop judgement."""


def bolt_circle(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = rule_of("bolt-circle", source_of("car-and-wheel"), axle)
    missing = [
        *absent("car-bolt-circle", hub.bolt_count, hub.bolt_circle_mm),
        *absent("wheel-bolt-circle", fitted.bolt_count, fitted.bolt_circle_mm),
    ]
    if hub.bolt_circle_mm is None or fitted.bolt_circle_mm is None or missing:
        return rule.unknown(*missing)
    same = abs(hub.bolt_circle_mm - fitted.bolt_circle_mm) < SAME_CIRCLE_MM
    wheel, car = (
        message("bolt-pattern", count=count, across=across)
        for count, across in (
            (fitted.bolt_count, fitted.bolt_circle_mm),
            (hub.bolt_count, hub.bolt_circle_mm),
        )
    )
    if same and hub.bolt_count == fitted.bolt_count:
        return rule.judged(True, "found.both", what=car)
    return rule.barred("found.bolt-circles", wheel=wheel, car=car)


def centre_bore(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = rule_of("centre-bore", PRACTICE, axle, play_mm=SAME_BORE_MM)
    missing = [
        *absent("hub-bore", hub.bore_mm),
        *absent("wheel-bore", fitted.bore_mm),
    ]
    if hub.bore_mm is None or fitted.bore_mm is None:
        return rule.unknown(*missing)
    play = fitted.bore_mm - hub.bore_mm
    if play < -0.01:
        return rule.barred(
            "found.bore-too-small",
            wheel_mm=fitted.bore_mm,
            hub_mm=hub.bore_mm,
        )
    if play <= SAME_BORE_MM:
        return rule.judged(True, "found.on-the-hub", hub_mm=hub.bore_mm)
    inner, outer = fitted.ring_inner_mm, fitted.ring_outer_mm
    if inner is None or outer is None:
        return rule.unknown(
            "ring",
            told="found.takes-a-ring",
            wheel_mm=fitted.bore_mm,
            hub_mm=hub.bore_mm,
        )
    fits = -0.01 <= inner - hub.bore_mm <= SAME_BORE_MM and (
        -0.01 <= fitted.bore_mm - outer <= SAME_BORE_MM
    )
    if fits:
        return rule.judged(
            True,
            "found.ring-centres",
            wheel_mm=fitted.bore_mm,
            hub_mm=hub.bore_mm,
        )
    return rule.judged(
        False,
        "found.wrong-ring",
        outer_mm=outer,
        inner_mm=inner,
        wheel_mm=fitted.bore_mm,
        hub_mm=hub.bore_mm,
    )


def seat(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = rule_of("seat", PRACTICE, axle)
    used = fitted.seat or hub.seat
    missing = [
        *absent("wheel-seat", fitted.wheel_seat or None),
        *absent("nut-seat", used or None),
    ]
    if missing:
        return rule.unknown(*missing)
    wheel, nuts = (
        message(f"seat.{one}") if one in SEATS else one for one in (fitted.wheel_seat, used)
    )
    if fitted.wheel_seat == used:
        return rule.judged(True, "found.both", what=wheel)
    return rule.barred("found.seats", wheel=wheel, nuts=nuts)


def thread(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = rule_of("thread", source_of("car"), axle)
    car = thread_of(hub.thread)
    if car is None:
        return rule.unknown("hub-thread")
    if not fitted.thread:
        return rule.judged(True, "found.own-nuts", hub=hub.thread)
    used = thread_of(fitted.thread)
    if used is None:
        return rule.unknown("readable-thread", told="found.no-thread", thread=fitted.thread)
    if used == car:
        return rule.judged(True, "found.both", what=fitted.thread)
    return rule.barred("found.threads", thread=fitted.thread, hub=hub.thread)


def engagement(hub: Hub, fitted: Fitted, law: Law, axle: str) -> Result:
    """How much thread holds: the stud or shank less pad and spacer."""
    figure = law["engagement"]
    rule = rule_of("engagement", figure.source, axle, diameters=figure.value)
    size = thread_of(fitted.thread or hub.thread)
    length = hub.length_mm if fitted.length_mm is None else fitted.length_mm
    missing = [
        *absent("thread", size),
        *absent("length", length),
        *absent("pad", fitted.pad_mm),
    ]
    if size is None or length is None or fitted.pad_mm is None:
        return rule.unknown(*missing)
    engaged = max(length - fitted.pad_mm - fitted.spacer_mm, 0.0)
    needed = figure.value * size.size_mm
    found = {
        "engaged_mm": engaged,
        "turns": engaged / size.pitch_mm,
        "pad_mm": fitted.pad_mm,
        "needed_mm": needed,
    }
    good = length - fitted.pad_mm - fitted.spacer_mm >= needed - 1e-9
    if fitted.spacer_mm:
        return rule.must(good, "found.engaged-spacer", spacer_mm=fitted.spacer_mm, **found)
    return rule.must(good, "found.engaged", **found)


def end_of_thread(hub: Hub, fitted: Fitted, axle: str) -> Result:
    """Whether a bolt meets something behind the hub face, or a stud the end of a closed nut,
    before the wheel is held."""
    if hub.fastener == BOLT:
        return _bolt_end(hub, fitted, axle)
    rule = rule_of("end-of-thread", PRACTICE, axle, asks="closed-nut")
    if not hub.fastener:
        return rule.unknown("fastener")
    nut = fitted.nut or hub.nut
    if nut == OPEN:
        return rule.judged(True, "found.open-nuts")
    length = hub.length_mm if fitted.length_mm is None else fitted.length_mm
    depth = fitted.nut_depth_mm if fitted.nut else hub.nut_depth_mm
    missing = [
        *absent("nut-form", nut or None),
        *(absent("nut-depth", depth) if nut == CLOSED else ()),
        *absent("length", length),
        *absent("pad", fitted.pad_mm),
    ]
    if length is None or depth is None or fitted.pad_mm is None or missing:
        return rule.unknown(*missing)
    stands_out = length - fitted.pad_mm - fitted.spacer_mm
    good = stands_out <= depth + 1e-9
    return rule.must(good, "found.closed-nut", reaches_mm=stands_out, depth_mm=depth)


def _bolt_end(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = rule_of("end-of-thread", PRACTICE, axle, asks="bolt-end")
    length = hub.length_mm if fitted.length_mm is None else fitted.length_mm
    depth = hub.thread_depth_mm
    missing = [
        *absent("thread-depth", depth),
        *absent("length", length),
        *absent("pad", fitted.pad_mm),
    ]
    if length is None or depth is None or fitted.pad_mm is None:
        return rule.unknown(*missing)
    reaches = length - fitted.pad_mm - fitted.spacer_mm
    return rule.must(reaches <= depth + 1e-9, "found.bolt-end", reaches_mm=reaches, depth_mm=depth)
