"""Does this wheel go on this hub, and do its nuts or bolts hold it? Lengths in millimetres."""

from __future__ import annotations

from fitment.engine.mounting.facts import SEATS, Fitted, Hub, thread_of
from fitment.engine.mounting.law import PRACTICE, Law
from fitment.engine.mounting.rule import Result, absent, rule_of

SAME_CIRCLE_MM = 0.06
"""Bolt circles closer than this are one: catalogues round 114.3 and 5.5 in alike."""
SAME_BORE_MM = 0.2
"""A bore is centred on a hub, or a ring in a bore, up to so much play; shop judgement."""


def bolt_circle(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = rule_of(
        "Bolt circle and count",
        "Wheel and hub have as many bolts on the same circle.",
        "dimensions of car and wheel",
        axle,
    )
    missing = [
        *absent("the car's bolt circle", hub.bolt_count, hub.bolt_circle_mm),
        *absent("the wheel's bolt circle", fitted.bolt_count, fitted.bolt_circle_mm),
    ]
    if hub.bolt_circle_mm is None or fitted.bolt_circle_mm is None or missing:
        return rule.unknown(*missing)
    same = abs(hub.bolt_circle_mm - fitted.bolt_circle_mm) < SAME_CIRCLE_MM
    wheel = f"{fitted.bolt_count}×{fitted.bolt_circle_mm:g}"
    car = f"{hub.bolt_count}×{hub.bolt_circle_mm:g}"
    if same and hub.bolt_count == fitted.bolt_count:
        return rule.judged(True, "Both {car}.", car=car)
    return rule.judged(False, "The wheel has {wheel}, the hub {car}.", wheel=wheel, car=car)


def centre_bore(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = rule_of(
        "Centre bore and ring",
        "The wheel is centred on the hub, itself or by a ring, with no more than {play} mm of "
        "play.",
        PRACTICE,
        axle,
        play=SAME_BORE_MM,
    )
    missing = [
        *absent("the hub's centre bore", hub.bore_mm),
        *absent("the wheel's centre bore", fitted.bore_mm),
    ]
    if hub.bore_mm is None or fitted.bore_mm is None:
        return rule.unknown(*missing)
    play = fitted.bore_mm - hub.bore_mm
    if play < -0.01:
        return rule.judged(
            False,
            "The wheel's bore, {wheel} mm, does not go over the hub, {hub} mm.",
            wheel=fitted.bore_mm,
            hub=hub.bore_mm,
        )
    if play <= SAME_BORE_MM:
        return rule.judged(True, "The wheel sits on the hub: {hub} mm.", hub=hub.bore_mm)
    inner, outer = fitted.ring_inner_mm, fitted.ring_outer_mm
    if inner is None or outer is None:
        return rule.unknown(
            "the centring ring",
            sentence="It takes a ring {wheel} mm outside, {hub} mm inside; none is named.",
            wheel=fitted.bore_mm,
            hub=hub.bore_mm,
        )
    fits = -0.01 <= inner - hub.bore_mm <= SAME_BORE_MM and (
        -0.01 <= fitted.bore_mm - outer <= SAME_BORE_MM
    )
    if fits:
        return rule.judged(
            True,
            "A ring {wheel} mm outside, {hub} mm inside centres it.",
            wheel=fitted.bore_mm,
            hub=hub.bore_mm,
        )
    return rule.judged(
        False,
        "The ring is {outer} mm outside and {inner} mm inside; it takes {wheel} mm outside, "
        "{hub} mm inside.",
        outer=outer,
        inner=inner,
        wheel=fitted.bore_mm,
        hub=hub.bore_mm,
    )


def seat(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = rule_of(
        "Seat of the nuts or bolts",
        "Nuts or bolts have the seat that the wheel was made for.",
        PRACTICE,
        axle,
    )
    used = fitted.seat or hub.seat
    missing = [
        *absent("the wheel's seat", fitted.wheel_seat or None),
        *absent("the seat of the nuts or bolts", used or None),
    ]
    if missing:
        return rule.unknown(*missing)
    wheel, nuts = (SEATS.get(one, one) for one in (fitted.wheel_seat, used))
    if fitted.wheel_seat == used:
        return rule.judged(True, "Both {seat}.", seat=wheel)
    return rule.judged(
        False, "The wheel asks for {wheel}; the nuts or bolts have {nuts}.", wheel=wheel, nuts=nuts
    )


def thread(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = rule_of(
        "Thread", "Nuts or bolts have the thread of the hub.", "dimensions of the car", axle
    )
    car = thread_of(hub.thread)
    if car is None:
        return rule.unknown("the hub's thread")
    if not fitted.thread:
        return rule.judged(True, "{hub}, with the car's own nuts or bolts.", hub=hub.thread)
    used = thread_of(fitted.thread)
    if used is None:
        return rule.unknown(
            "a thread that can be read", sentence="“{thread}” is no thread.", thread=fitted.thread
        )
    if used == car:
        return rule.judged(True, "Both {thread}.", thread=fitted.thread)
    return rule.judged(False, "{thread} on {hub}.", thread=fitted.thread, hub=hub.thread)


def engagement(hub: Hub, fitted: Fitted, law: Law, axle: str) -> Result:
    """How much thread holds: the stud or shank less pad and spacer."""
    figure = law["engagement"]
    rule = rule_of(
        "Thread engaged",
        "Each nut or bolt is held by a length of thread of {share} × its diameter at least.",
        figure.source,
        axle,
        share=figure.value,
    )
    size = thread_of(fitted.thread or hub.thread)
    length = hub.length_mm if fitted.length_mm is None else fitted.length_mm
    missing = [
        *absent("the thread", size),
        *absent("the length of studs or bolts", length),
        *absent("the wheel's thickness at the bolts", fitted.pad_mm),
    ]
    if size is None or length is None or fitted.pad_mm is None:
        return rule.unknown(*missing)
    engaged = max(length - fitted.pad_mm - fitted.spacer_mm, 0.0)
    needed = figure.value * size.size_mm
    found: dict[str, float | str] = {
        "engaged": f"{engaged:.1f}",
        "turns": f"{engaged / size.pitch_mm:.1f}",
        "pad": fitted.pad_mm,
        "needed": f"{needed:.1f}",
    }
    good = length - fitted.pad_mm - fitted.spacer_mm >= needed - 1e-9
    if fitted.spacer_mm:
        return rule.judged(
            good,
            "{engaged} mm, {turns} turns, through a {pad} mm pad and a {spacer} mm spacer; "
            "{needed} mm are needed.",
            spacer=fitted.spacer_mm,
            **found,
        )
    return rule.judged(
        good,
        "{engaged} mm, {turns} turns, through a {pad} mm pad; {needed} mm are needed.",
        **found,
    )
