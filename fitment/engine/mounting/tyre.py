"""May this tyre, on this wheel, carry this car? Markings, loads, and size against the original.

Rim sizes in inches, other lengths in millimetres, kilograms, km/h.
"""

from __future__ import annotations

from fitment.engine.mounting.facts import Fitted, Needs, load_index_of, speed_symbol_of
from fitment.engine.mounting.law import Figure, Law
from fitment.engine.mounting.rule import Result, absent, plus, rule_of
from fitment.engine.solid.designation import (
    LOAD_INDEX_KG,
    SPEED_SYMBOL_KMH,
    BadSize,
    load_capacity_kg,
    size_of,
)


def rim_width(fitted: Fitted, axle: str) -> Result:
    rule = rule_of(
        "Rim width",
        "The rim lies in the range that the tyre's maker approves; no rule gives it from the size.",
        "the tyre maker's data",
        axle,
    )
    low, high = fitted.rim_min_in, fitted.rim_max_in
    if low is None or high is None:
        return rule.unknown("the tyre's approved rim widths")
    width = {"width": fitted.width_in, "low": low, "high": high}
    if fitted.width_in < low - 1e-9:
        return rule.judged(
            False, "Rim {width} in; approved {low} to {high} in, too narrow.", **width
        )
    if fitted.width_in > high + 1e-9:
        return rule.judged(False, "Rim {width} in; approved {low} to {high} in, too wide.", **width)
    return rule.judged(True, "Rim {width} in; approved {low} to {high} in.", **width)


def load_index(needs: Needs, fitted: Fitted) -> Result:
    rule = rule_of(
        "Load index",
        "The tyre's load index is not lower than the car's papers ask for.",
        "the car's papers; loads by UN Regulation No. 30, Annex IV",
        needs.axle,
    )
    index = load_index_of(fitted.load_index)
    missing = [
        *absent("the load index that the car asks for", needs.load_index),
        *absent("the tyre's load index", index),
    ]
    if needs.load_index is None or index is None:
        return rule.unknown(*missing)
    if needs.load_index not in LOAD_INDEX_KG:
        return rule.unknown("a load index of the table", sentence="The car's index is in no table.")
    return rule.judged(
        index >= needs.load_index,
        "{index} ({load} kg); asked {wanted} ({asked} kg).",
        index=index,
        load=LOAD_INDEX_KG[index],
        wanted=needs.load_index,
        asked=LOAD_INDEX_KG[needs.load_index],
    )


def speed_symbol(needs: Needs, fitted: Fitted) -> Result:
    rule = rule_of(
        "Speed symbol",
        "The tyre's speed symbol is not lower than the car's papers ask for, nor its speed than "
        "the car's.",
        "the car's papers; UN Regulation No. 30, Annex IV",
        needs.axle,
    )
    symbol, wanted = speed_symbol_of(fitted.speed_symbol), speed_symbol_of(needs.speed_symbol)
    asked = SPEED_SYMBOL_KMH[wanted] if wanted else needs.top_speed_kmh
    missing = [
        *absent("the speed symbol that the car asks for", asked),
        *absent("the tyre's speed symbol", symbol or None),
    ]
    if asked is None or not symbol:
        return rule.unknown(*missing)
    asked = max(asked, needs.top_speed_kmh or 0.0)
    speed = SPEED_SYMBOL_KMH[symbol]
    return rule.judged(
        speed >= asked,
        "{symbol}, {speed} km/h; asked {asked}.",
        symbol=symbol,
        speed=speed,
        asked=f"{wanted}, {asked:g} km/h" if wanted else f"{asked:g} km/h",
    )


def load_at_speed(needs: Needs, fitted: Fitted) -> Result:
    """Two tyres against the axle's load, with what V, W and Y lose near their top speed."""
    rule = rule_of(
        "Load at top speed",
        "Two tyres carry the axle's load at the car's top speed; V, W and Y carry less near "
        "their own (91 % at 240, 85 % at 270 and at 300 km/h).",
        "UN Regulation No. 30",
        needs.axle,
    )
    index, symbol = load_index_of(fitted.load_index), speed_symbol_of(fitted.speed_symbol)
    missing = [
        *absent("the axle's permitted load", needs.axle_load_kg),
        *absent("the car's top speed", needs.top_speed_kmh),
        *absent("the tyre's load index", index),
        *absent("the tyre's speed symbol", symbol or None),
    ]
    if index is None or needs.axle_load_kg is None or needs.top_speed_kmh is None or missing:
        return rule.unknown(*missing)
    if needs.top_speed_kmh > SPEED_SYMBOL_KMH[symbol]:
        return rule.judged(
            False,
            "A tyre marked {symbol} is not made for {speed} km/h.",
            symbol=symbol,
            speed=needs.top_speed_kmh,
        )
    each = load_capacity_kg(index, symbol, needs.top_speed_kmh)
    return rule.judged(
        2 * each >= needs.axle_load_kg,
        "2 × {each} kg at {speed} km/h for {load} kg.",
        each=f"{each:.0f}",
        speed=needs.top_speed_kmh,
        load=needs.axle_load_kg,
    )


def wheel_load(needs: Needs, fitted: Fitted) -> Result:
    rule = rule_of(
        "Wheel load rating",
        "Two wheels are rated for the axle's permitted load.",
        "the wheel maker's rating; the car's papers",
        needs.axle,
    )
    missing = [
        *absent("the axle's permitted load", needs.axle_load_kg),
        *absent("the wheel's load rating", fitted.load_rating_kg),
    ]
    if needs.axle_load_kg is None or fitted.load_rating_kg is None:
        return rule.unknown(*missing)
    return rule.judged(
        2 * fitted.load_rating_kg >= needs.axle_load_kg,
        "2 × {rating} kg for {load} kg.",
        rating=fitted.load_rating_kg,
        load=needs.axle_load_kg,
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
        rule = rule_of(
            "Overall diameter" if unit == "%" else "Overall diameter, in millimetres",
            "The tyre's diameter is within {most} {unit} of the original: speed reading, gearing "
            "and brake control follow it.",
            figure.source,
            needs.axle,
            most=figure.value,
            unit=unit,
        )
        missing = [
            *absent("the original tyre's size", original),
            *absent("the tyre's diameter", fitted.diameter_mm),
        ]
        if original is None or fitted.diameter_mm is None:
            results.append(rule.unknown(*missing))
            continue
        off = fitted.diameter_mm - original
        share = 100.0 * off / original
        results.append(
            rule.judged(
                abs(share if unit == "%" else off) <= figure.value + 1e-9,
                "{across} mm against {original} mm: {off} mm, {share} %.",
                across=f"{fitted.diameter_mm:.0f}",
                original=f"{original:.0f}",
                off=plus(off, 0),
                share=plus(share, 1),
            )
        )
    return results


def offset(needs: Needs, fitted: Fitted, law: Law) -> list[Result]:
    """Offset, track and spacers, where the shop's law limits them."""
    results = []
    less = (
        None if needs.offset_mm is None else needs.offset_mm - fitted.offset_mm + fitted.spacer_mm
    )
    for key, times in (("offset_less_mm", 1), ("track_more_mm", 2)):
        if key not in law:
            continue
        figure = law[key]
        rule = rule_of(
            "Offset" if times == 1 else "Track width",
            "The offset, spacer included, is smaller than the original by {most} mm at most."
            if times == 1
            else "The track is wider than with the original wheels by {most} mm at most.",
            figure.source,
            needs.axle,
            most=figure.value,
        )
        if less is None:
            results.append(rule.unknown("the original wheel's offset"))
            continue
        more = times * less
        good = more <= figure.value + 1e-9
        if more > 0:
            words = "{more} mm less." if times == 1 else "{more} mm more."
            results.append(rule.judged(good, words, more=more))
        else:
            results.append(rule.judged(good, "No change in this direction."))
    if "spacers" in law and law["spacers"].value < 1:
        rule = rule_of(
            "Spacers", "No spacer, unless the car came with it.", law["spacers"].source, needs.axle
        )
        if fitted.spacer_mm:
            results.append(rule.judged(False, "A {spacer} mm spacer.", spacer=fitted.spacer_mm))
        else:
            results.append(rule.judged(True, "None."))
    if "full_thread" in law and law["full_thread"].value >= 1:
        rule = rule_of(
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
    rule = rule_of(
        "Front to rear diameter",
        "The ratio of the diameters is within {most} % of the original: both axles are driven "
        "together."
        if all_driven
        else "The ratio of the diameters is within {most} % of the original: brake and traction "
        "control compare the axles.",
        figure.source,
        most=figure.value,
    )
    if front is None:
        return rule.unknown("the tyres that stay on the front axle")
    if rear is None:
        return rule.unknown("the tyres that stay on the rear axle")
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
        "Front to rear {now}, originally {before}: {off} %.",
        now=f"{ratios[0]:.4f}",
        before=f"{ratios[1]:.4f}",
        off=plus(off, 2),
    )
