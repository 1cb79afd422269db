"""Mounting checks: does this wheel go on this hub, and may this tyre carry this car?

Each check holds one fact of the wheel or tyre against one of the car and answers *passes*,
*fails* or *cannot say*, with its rule in words, where the rule is from, and what is missing.
Nothing is guessed: a figure that nobody recorded is never a pass. Lengths in millimetres, rim
sizes in inches, kilograms, km/h.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from fitment.engine.designation import (
    LOAD_INDEX_KG,
    SPEED_SYMBOL_KMH,
    BadMarking,
    BadSize,
    load_capacity_kg,
    size_of,
)
from fitment.engine.law import PRACTICE, Figure, Law

PASSES, FAILS, CANNOT_SAY = "passes", "fails", "cannot say"
#: Worst first.
OUTCOMES = (FAILS, CANNOT_SAY, PASSES)

STUD, BOLT = "stud", "bolt"
SEATS: dict[str, str] = {
    "cone60": "60° cone",
    "cone90": "90° cone",
    "ball12": "ball, 12 mm radius",
    "ball13": "ball, 13 mm radius",
    "ball14": "ball, 14 mm radius",
    "flat": "flat with a washer",
    "shank": "shank with a washer",
}
"""Seats that wheel nuts and bolts are made with, and the wheels to suit them."""

SAME_CIRCLE_MM = 0.06
"""Bolt circles closer than this are one: catalogues round 114.3 and 5.5 in alike."""
SAME_BORE_MM = 0.2
"""A bore is centred on a hub, or a ring in a bore, up to so much play; shop judgement."""

_THREAD = re.compile(
    r"M\s?(?P<size>\d{1,2}(?:[.,]\d)?)\s?[x×*]\s?(?P<pitch>\d(?:[.,]\d{1,2})?)", re.I
)
_INCH_THREAD = re.compile(r"(?P<a>\d)/(?P<b>\d{1,2})\s?[-x×]\s?(?P<count>\d{2})", re.I)


@dataclass(frozen=True)
class Thread:
    """A thread's diameter and pitch, mm."""

    size_mm: float
    pitch_mm: float


@dataclass(frozen=True)
class Hub:
    """What the wheel bolts to. ``length_mm``: a stud's part that stands out of the hub face, or a
    bolt's shank under its seat."""

    bolt_count: int | None = None
    bolt_circle_mm: float | None = None
    bore_mm: float | None = None
    thread: str = ""
    seat: str = ""
    fastener: str = ""
    length_mm: float | None = None


@dataclass(frozen=True)
class Needs:
    """What the car asks of one axle: markings of its papers and the originals."""

    axle: str
    load_index: int | None = None
    speed_symbol: str = ""
    axle_load_kg: float | None = None
    top_speed_kmh: float | None = None
    tyre_size: str = ""
    offset_mm: float | None = None


@dataclass(frozen=True)
class Fitted:
    """What an order mounts on one axle. ``diameter_mm`` is that of the tyre on this wheel.

    ``pad_mm`` is the wheel's thickness between mounting face and nut seat; ``seat``, ``thread``
    and ``length_mm`` are those of other nuts, bolts or studs than the car's own, where some are
    fitted. The ring fills the wheel's bore.
    """

    wheel: str
    tyre: str
    bolt_count: int | None = None
    bolt_circle_mm: float | None = None
    bore_mm: float | None = None
    wheel_seat: str = ""
    pad_mm: float | None = None
    load_rating_kg: float | None = None
    offset_mm: float = 0.0
    width_in: float = 0.0
    spacer_mm: float = 0.0
    ring_inner_mm: float | None = None
    ring_outer_mm: float | None = None
    seat: str = ""
    thread: str = ""
    length_mm: float | None = None
    load_index: str = ""
    speed_symbol: str = ""
    rim_min_in: float | None = None
    rim_max_in: float | None = None
    diameter_mm: float | None = None


@dataclass(frozen=True)
class Result:
    """One check's answer. ``axle`` is empty where it is about the whole car."""

    title: str
    outcome: str
    sentence: str
    rule: str
    source: str
    missing: tuple[str, ...] = ()
    axle: str = ""


@dataclass(frozen=True)
class Rule:
    """A check's name, rule and source; makes its results."""

    title: str
    text: str
    source: str
    axle: str = ""

    def judged(self, good: bool, sentence: str) -> Result:
        return self._result(PASSES if good else FAILS, sentence, ())

    def unknown(self, *missing: str, sentence: str = "") -> Result:
        return self._result(
            CANNOT_SAY, sentence or f"Not on record: {', '.join(missing)}.", missing
        )

    def _result(self, outcome: str, sentence: str, missing: tuple[str, ...]) -> Result:
        return Result(self.title, outcome, sentence, self.text, self.source, missing, self.axle)


def thread_of(text: str) -> Thread | None:
    """``M12×1.5`` or ``1/2-20`` as a thread; None where it cannot be read."""
    metric = _THREAD.search(text)
    if metric:
        size, pitch = (float(metric[name].replace(",", ".")) for name in ("size", "pitch"))
        return Thread(size, pitch)
    inch = _INCH_THREAD.search(text)
    if inch and float(inch["b"]):
        return Thread(25.4 * float(inch["a"]) / float(inch["b"]), 25.4 / float(inch["count"]))
    return None


def load_index_of(text: str) -> int | None:
    """The single-fitment load index in a marking such as ``94``, ``94XL`` or ``98/96``."""
    found = re.match(r"\s*(\d{2,3})", text)
    index = int(found[1]) if found else None
    return index if index in LOAD_INDEX_KG else None


def speed_symbol_of(text: str) -> str:
    """The speed symbol in a marking such as ``Y`` or ``(Y)``; empty where there is none."""
    letter = text.strip().strip("()").upper()
    return letter if letter in SPEED_SYMBOL_KMH else ""


def axle_checks(hub: Hub, needs: Needs, fitted: Fitted, law: Law) -> list[Result]:
    """All checks of one axle that need no room check, in the order of the work."""
    return [
        bolt_circle(hub, fitted, needs.axle),
        centre_bore(hub, fitted, needs.axle),
        seat(hub, fitted, needs.axle),
        thread(hub, fitted, needs.axle),
        engagement(hub, fitted, law, needs.axle),
        rim_width(fitted, needs.axle),
        load_index(needs, fitted),
        speed_symbol(needs, fitted),
        load_at_speed(needs, fitted),
        wheel_load(needs, fitted),
        *diameter(needs, fitted, law),
        *offset(needs, fitted, law),
    ]


def bolt_circle(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = Rule(
        "Bolt circle and count",
        "Wheel and hub have as many bolts on the same circle.",
        "dimensions of car and wheel",
        axle,
    )
    missing = [
        *_absent("the car's bolt circle", hub.bolt_count, hub.bolt_circle_mm),
        *_absent("the wheel's bolt circle", fitted.bolt_count, fitted.bolt_circle_mm),
    ]
    if hub.bolt_circle_mm is None or fitted.bolt_circle_mm is None or missing:
        return rule.unknown(*missing)
    same = abs(hub.bolt_circle_mm - fitted.bolt_circle_mm) < SAME_CIRCLE_MM
    wheel = f"{fitted.bolt_count}×{fitted.bolt_circle_mm:g}"
    car = f"{hub.bolt_count}×{hub.bolt_circle_mm:g}"
    if same and hub.bolt_count == fitted.bolt_count:
        return rule.judged(True, f"Both {car}.")
    return rule.judged(False, f"The wheel has {wheel}, the hub {car}.")


def centre_bore(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = Rule(
        "Centre bore and ring",
        f"The wheel is centred on the hub, itself or by a ring, with no more than "
        f"{SAME_BORE_MM:g} mm of play.",
        PRACTICE,
        axle,
    )
    missing = [
        *_absent("the hub's centre bore", hub.bore_mm),
        *_absent("the wheel's centre bore", fitted.bore_mm),
    ]
    if hub.bore_mm is None or fitted.bore_mm is None:
        return rule.unknown(*missing)
    play = fitted.bore_mm - hub.bore_mm
    if play < -0.01:
        return rule.judged(
            False,
            f"The wheel's bore, {fitted.bore_mm:g} mm, does not go over the hub, "
            f"{hub.bore_mm:g} mm.",
        )
    if play <= SAME_BORE_MM:
        return rule.judged(True, f"The wheel sits on the hub: {hub.bore_mm:g} mm.")
    wanted = f"{fitted.bore_mm:g} mm outside, {hub.bore_mm:g} mm inside"
    inner, outer = fitted.ring_inner_mm, fitted.ring_outer_mm
    if inner is None or outer is None:
        return rule.unknown(
            "the centring ring", sentence=f"It takes a ring {wanted}; none is named."
        )
    fits = -0.01 <= inner - hub.bore_mm <= SAME_BORE_MM and (
        -0.01 <= fitted.bore_mm - outer <= SAME_BORE_MM
    )
    if fits:
        return rule.judged(True, f"A ring {wanted} centres it.")
    return rule.judged(
        False, f"The ring is {outer:g} mm outside and {inner:g} mm inside; it takes {wanted}."
    )


def seat(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = Rule(
        "Seat of the nuts or bolts",
        "Nuts or bolts have the seat that the wheel was made for.",
        PRACTICE,
        axle,
    )
    used = fitted.seat or hub.seat
    missing = [
        *_absent("the wheel's seat", fitted.wheel_seat or None),
        *_absent("the seat of the nuts or bolts", used or None),
    ]
    if missing:
        return rule.unknown(*missing)
    wheel, nuts = (SEATS.get(one, one) for one in (fitted.wheel_seat, used))
    if fitted.wheel_seat == used:
        return rule.judged(True, f"Both {wheel}.")
    return rule.judged(False, f"The wheel asks for {wheel}; the nuts or bolts have {nuts}.")


def thread(hub: Hub, fitted: Fitted, axle: str) -> Result:
    rule = Rule(
        "Thread", "Nuts or bolts have the thread of the hub.", "dimensions of the car", axle
    )
    car = thread_of(hub.thread)
    if car is None:
        return rule.unknown("the hub's thread")
    used = thread_of(fitted.thread) if fitted.thread else car
    if used is None:
        return rule.unknown(
            "a thread that can be read", sentence=f"“{fitted.thread}” is no thread."
        )
    named = fitted.thread or f"{hub.thread}, with the car's own nuts or bolts"
    return rule.judged(used == car, f"{named}." if used == car else f"{named} on {hub.thread}.")


def engagement(hub: Hub, fitted: Fitted, law: Law, axle: str) -> Result:
    """How much thread holds: the stud or shank less pad and spacer."""
    figure = law["engagement"]
    rule = Rule(
        "Thread engaged",
        f"At least {figure.value:g} diameter{'' if figure.value == 1 else 's'} of thread hold "
        "each nut or bolt.",
        figure.source,
        axle,
    )
    size = thread_of(fitted.thread or hub.thread)
    length = hub.length_mm if fitted.length_mm is None else fitted.length_mm
    missing = [
        *_absent("the thread", size),
        *_absent("the length of studs or bolts", length),
        *_absent("the wheel's thickness at the bolts", fitted.pad_mm),
    ]
    if size is None or length is None or fitted.pad_mm is None:
        return rule.unknown(*missing)
    engaged = length - fitted.pad_mm - fitted.spacer_mm
    needed = figure.value * size.size_mm
    spacer = f" and a {fitted.spacer_mm:g} mm spacer" if fitted.spacer_mm else ""
    turns = max(engaged, 0.0) / size.pitch_mm
    return rule.judged(
        engaged >= needed - 1e-9,
        f"{max(engaged, 0.0):.1f} mm, {turns:.1f} turns, through a {fitted.pad_mm:g} mm pad"
        f"{spacer}; {needed:.1f} mm are needed.",
    )


def rim_width(fitted: Fitted, axle: str) -> Result:
    rule = Rule(
        "Rim width",
        "The rim lies in the range that the tyre's maker approves; no rule gives it from the size.",
        "the tyre maker's data",
        axle,
    )
    low, high = fitted.rim_min_in, fitted.rim_max_in
    if low is None or high is None:
        return rule.unknown("the tyre's approved rim widths")
    good = low - 1e-9 <= fitted.width_in <= high + 1e-9
    side = "" if good else (", too narrow" if fitted.width_in < low else ", too wide")
    return rule.judged(good, f"Rim {fitted.width_in:g} in; approved {low:g} to {high:g} in{side}.")


def load_index(needs: Needs, fitted: Fitted) -> Result:
    rule = Rule(
        "Load index",
        "The tyre's load index is not lower than the car's papers ask for.",
        "the car's papers; loads by UN Regulation No. 30, Annex IV",
        needs.axle,
    )
    index = load_index_of(fitted.load_index)
    missing = [
        *_absent("the load index that the car asks for", needs.load_index),
        *_absent("the tyre's load index", index),
    ]
    if needs.load_index is None or index is None:
        return rule.unknown(*missing)
    if needs.load_index not in LOAD_INDEX_KG:
        return rule.unknown("a load index of the table", sentence="The car's index is in no table.")
    return rule.judged(
        index >= needs.load_index,
        f"{index} ({LOAD_INDEX_KG[index]} kg); asked {needs.load_index} "
        f"({LOAD_INDEX_KG[needs.load_index]} kg).",
    )


def speed_symbol(needs: Needs, fitted: Fitted) -> Result:
    rule = Rule(
        "Speed symbol",
        "The tyre's speed symbol is not lower than the car's papers ask for, nor its speed than "
        "the car's.",
        "the car's papers; UN Regulation No. 30, Annex IV",
        needs.axle,
    )
    symbol, wanted = speed_symbol_of(fitted.speed_symbol), speed_symbol_of(needs.speed_symbol)
    asked = SPEED_SYMBOL_KMH[wanted] if wanted else needs.top_speed_kmh
    missing = [
        *_absent("the speed symbol that the car asks for", asked),
        *_absent("the tyre's speed symbol", symbol or None),
    ]
    if asked is None or not symbol:
        return rule.unknown(*missing)
    asked = max(asked, needs.top_speed_kmh or 0.0)
    named = f"{wanted}, {asked:g} km/h" if wanted else f"{asked:g} km/h"
    speed = SPEED_SYMBOL_KMH[symbol]
    return rule.judged(speed >= asked, f"{symbol}, {speed} km/h; asked {named}.")


def load_at_speed(needs: Needs, fitted: Fitted) -> Result:
    """Two tyres against the axle's load, with what V, W and Y lose near their top speed."""
    rule = Rule(
        "Load at top speed",
        "Two tyres carry the axle's load at the car's top speed; V, W and Y carry less near "
        "their own (91 % at 240, 85 % at 270 and at 300 km/h).",
        "UN Regulation No. 30",
        needs.axle,
    )
    index, symbol = load_index_of(fitted.load_index), speed_symbol_of(fitted.speed_symbol)
    missing = [
        *_absent("the axle's permitted load", needs.axle_load_kg),
        *_absent("the car's top speed", needs.top_speed_kmh),
        *_absent("the tyre's load index", index),
        *_absent("the tyre's speed symbol", symbol or None),
    ]
    if index is None or needs.axle_load_kg is None or needs.top_speed_kmh is None or missing:
        return rule.unknown(*missing)
    try:
        each = load_capacity_kg(index, symbol, needs.top_speed_kmh)
    except BadMarking as odd:
        return rule.judged(False, f"{str(odd).capitalize()}.")
    return rule.judged(
        2 * each >= needs.axle_load_kg,
        f"2 × {each:.0f} kg at {needs.top_speed_kmh:g} km/h for {needs.axle_load_kg:g} kg.",
    )


def wheel_load(needs: Needs, fitted: Fitted) -> Result:
    rule = Rule(
        "Wheel load rating",
        "Two wheels are rated for the axle's permitted load.",
        "the wheel maker's rating; the car's papers",
        needs.axle,
    )
    missing = [
        *_absent("the axle's permitted load", needs.axle_load_kg),
        *_absent("the wheel's load rating", fitted.load_rating_kg),
    ]
    if needs.axle_load_kg is None or fitted.load_rating_kg is None:
        return rule.unknown(*missing)
    return rule.judged(
        2 * fitted.load_rating_kg >= needs.axle_load_kg,
        f"2 × {fitted.load_rating_kg:g} kg for {needs.axle_load_kg:g} kg.",
    )


def original_diameter_mm(needs: Needs) -> float | None:
    """Diameter of the original tyre by its size; None where that cannot be read."""
    try:
        return size_of(needs.tyre_size).overall_diameter_mm
    except BadSize:
        return None


def diameter(needs: Needs, fitted: Fitted, law: Law) -> list[Result]:
    """Overall diameter against the original, by share and where the law names it by length."""
    original = original_diameter_mm(needs)
    results = []
    for key, unit in (("diameter_percent", "%"), ("diameter_mm", "mm")):
        figure = law.get(key)
        if figure is None:
            continue
        rule = Rule(
            "Overall diameter" if unit == "%" else "Overall diameter, in millimetres",
            f"The tyre's diameter is within {figure.value:g} {unit} of the original: speed "
            "reading, gearing and brake control follow it.",
            figure.source,
            needs.axle,
        )
        missing = [
            *_absent("the original tyre's size", original),
            *_absent("the tyre's diameter", fitted.diameter_mm),
        ]
        if original is None or fitted.diameter_mm is None:
            results.append(rule.unknown(*missing))
            continue
        off = fitted.diameter_mm - original
        share = 100.0 * off / original
        size = share if unit == "%" else off
        results.append(
            rule.judged(
                abs(size) <= figure.value + 1e-9,
                f"{fitted.diameter_mm:.0f} mm against {original:.0f} mm: {plus(off, 0)} mm, "
                f"{plus(share, 1)} %.",
            )
        )
    return results


def offset(needs: Needs, fitted: Fitted, law: Law) -> list[Result]:
    """Offset, track and spacers, where the shop's law limits them."""
    results = []
    less = (
        None if needs.offset_mm is None else needs.offset_mm - fitted.offset_mm + fitted.spacer_mm
    )
    for key, title, words, times in (
        (
            "offset_less_mm",
            "Offset",
            "The offset, spacer included, is smaller than the original",
            1,
        ),
        ("track_more_mm", "Track", "The track is wider than with the original wheels", 2),
    ):
        if key not in law:
            continue
        figure = law[key]
        rule = Rule(title, f"{words} by {figure.value:g} mm at most.", figure.source, needs.axle)
        if less is None:
            results.append(rule.unknown("the original wheel's offset"))
            continue
        more = times * less
        way = "less" if times == 1 else "more"
        sentence = f"{more:g} mm {way}." if more > 0 else "No change in this direction."
        results.append(rule.judged(more <= figure.value + 1e-9, sentence))
    if "spacers" in law and law["spacers"].value < 1:
        rule = Rule(
            "Spacers",
            "No spacer, unless the car came with it.",
            law["spacers"].source,
            needs.axle,
        )
        worn = f"A {fitted.spacer_mm:g} mm spacer." if fitted.spacer_mm else "None."
        results.append(rule.judged(not fitted.spacer_mm, worn))
    if "full_thread" in law and law["full_thread"].value >= 1:
        rule = Rule(
            "Nuts on their full thread",
            "Every nut runs on the whole of its thread.",
            law["full_thread"].source,
            needs.axle,
        )
        results.append(
            rule.unknown("a look at the nuts", sentence="Look whether the stud fills every nut.")
        )
    return results


def diameter_ratio(
    front: tuple[Needs, Fitted] | None,
    rear: tuple[Needs, Fitted] | None,
    all_driven: bool,
    figure: Figure,
) -> Result:
    """Front to rear diameter against the original ratio; ``figure`` allows so many per cent."""
    why = (
        "both axles are driven together"
        if all_driven
        else "brake and traction control compare the axles"
    )
    rule = Rule(
        "Front to rear diameter",
        f"The ratio of the diameters is within {figure.value:g} % of the original: {why}.",
        figure.source,
    )
    if front is None or rear is None:
        axle = "front" if front is None else "rear"
        return rule.unknown(f"the tyres that stay on the {axle} axle")
    ratios = []
    for new in (True, False):
        pair = [
            fitted.diameter_mm if new else original_diameter_mm(needs)
            for needs, fitted in (front, rear)
        ]
        if pair[0] is None or pair[1] is None:
            return rule.unknown("the tyres' diameters" if new else "the original tyres' sizes")
        ratios.append(pair[0] / pair[1])
    off = 100.0 * (ratios[0] / ratios[1] - 1.0)
    return rule.judged(
        abs(off) <= figure.value + 1e-9,
        f"Front to rear {ratios[0]:.4f}, originally {ratios[1]:.4f}: {plus(off, 2)} %.",
    )


def plus(value: float, decimals: int) -> str:
    """A number with its sign, a minus as the minus sign."""
    return f"{value:+.{decimals}f}".replace("-", "−")


def _absent(what: str, *values: object) -> list[str]:
    return [what] if any(value is None for value in values) else []
