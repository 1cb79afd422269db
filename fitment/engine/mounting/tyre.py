"""May this tyre, on this wheel, carry this car? Markings, loads, and size against the original.

Rim sizes in inches, other lengths in millimetres, kilograms, km/h.
"""

from __future__ import annotations

from fitment.engine.mounting.facts import Fitted, Needs, load_index_of, speed_symbol_of
from fitment.engine.mounting.law import Figure, Law
from fitment.engine.mounting.rule import Result, absent, rule_of, source_of
from fitment.engine.solid.designation import (
    LOAD_INDEX_KG,
    SPEED_SYMBOL_KMH,
    BadSize,
    load_capacity_kg,
    size_of,
)


def rim_width(fitted: Fitted, axle: str) -> Result:
    rule = rule_of("rim-width", source_of("tyre-maker"), axle)
    low, high = fitted.rim_min_in, fitted.rim_max_in
    if low is None or high is None:
        return rule.unknown("rim-widths")
    width = {"width_in": fitted.width_in, "low_in": low, "high_in": high}
    if fitted.width_in < low - 1e-9:
        return rule.judged(False, "found.rim-too-narrow", **width)
    if fitted.width_in > high + 1e-9:
        return rule.judged(False, "found.rim-too-wide", **width)
    return rule.judged(True, "found.rim", **width)


def load_index(needs: Needs, fitted: Fitted) -> Result:
    rule = rule_of("load-index", source_of("papers-and-loads"), needs.axle)
    index = load_index_of(fitted.load_index)
    missing = [
        *absent("car-load-index", needs.load_index),
        *absent("tyre-load-index", index),
    ]
    if needs.load_index is None or index is None:
        return rule.unknown(*missing)
    if needs.load_index not in LOAD_INDEX_KG:
        return rule.unknown("known-load-index", told="found.load-index-unknown")
    return rule.must(
        index >= needs.load_index,
        "found.load-index",
        index=index,
        load_kg=LOAD_INDEX_KG[index],
        wanted=needs.load_index,
        wanted_kg=LOAD_INDEX_KG[needs.load_index],
    )


def speed_symbol(needs: Needs, fitted: Fitted) -> Result:
    rule = rule_of("speed-symbol", source_of("papers-and-speeds"), needs.axle)
    symbol, wanted = speed_symbol_of(fitted.speed_symbol), speed_symbol_of(needs.speed_symbol)
    asked = SPEED_SYMBOL_KMH[wanted] if wanted else needs.top_speed_kmh
    missing = [
        *absent("car-speed-symbol", asked),
        *absent("tyre-speed-symbol", symbol or None),
    ]
    if asked is None or not symbol:
        return rule.unknown(*missing)
    asked = max(asked, needs.top_speed_kmh or 0.0)
    speed = SPEED_SYMBOL_KMH[symbol]
    return rule.must(
        speed >= asked,
        "found.speed-symbol" if wanted else "found.speed",
        symbol=symbol,
        speed_kmh=speed,
        wanted=wanted,
        wanted_kmh=asked,
    )


def load_at_speed(needs: Needs, fitted: Fitted) -> Result:
    """Two tyres against the axle's load, with what V, W and Y lose near their top speed."""
    rule = rule_of("load-at-speed", source_of("regulation-30"), needs.axle)
    index, symbol = load_index_of(fitted.load_index), speed_symbol_of(fitted.speed_symbol)
    missing = [
        *absent("axle-load", needs.axle_load_kg),
        *absent("top-speed", needs.top_speed_kmh),
        *absent("tyre-load-index", index),
        *absent("tyre-speed-symbol", symbol or None),
    ]
    if index is None or needs.axle_load_kg is None or needs.top_speed_kmh is None or missing:
        return rule.unknown(*missing)
    if needs.top_speed_kmh > SPEED_SYMBOL_KMH[symbol]:
        return rule.barred(
            "found.symbol-too-slow",
            symbol=symbol,
            speed_kmh=needs.top_speed_kmh,
        )
    each = load_capacity_kg(index, symbol, needs.top_speed_kmh)
    return rule.must(
        2 * each >= needs.axle_load_kg,
        "found.load-at-speed",
        each_kg=each,
        speed_kmh=needs.top_speed_kmh,
        load_kg=needs.axle_load_kg,
    )


def wheel_load(needs: Needs, fitted: Fitted) -> Result:
    rule = rule_of("wheel-load", source_of("wheel-maker"), needs.axle)
    missing = [
        *absent("axle-load", needs.axle_load_kg),
        *absent("wheel-load", fitted.load_rating_kg),
    ]
    if needs.axle_load_kg is None or fitted.load_rating_kg is None:
        return rule.unknown(*missing)
    return rule.must(
        2 * fitted.load_rating_kg >= needs.axle_load_kg,
        "found.wheel-load",
        rating_kg=fitted.load_rating_kg,
        load_kg=needs.axle_load_kg,
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
        rule = (
            rule_of("diameter", figure.source, needs.axle, most_percent=figure.value)
            if unit == "%"
            else rule_of("diameter-mm", figure.source, needs.axle, most_mm=figure.value)
        )
        missing = [
            *absent("original-size", original),
            *absent("diameter", fitted.diameter_mm),
        ]
        if original is None or fitted.diameter_mm is None:
            results.append(rule.unknown(*missing))
            continue
        off = fitted.diameter_mm - original
        share = 100.0 * off / original
        results.append(
            rule.judged(
                abs(share if unit == "%" else off) <= figure.value + 1e-9,
                "found.diameter",
                across_mm=fitted.diameter_mm,
                original_mm=original,
                off_mm=off,
                off_percent=share,
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
        code = "offset" if times == 1 else "track"
        rule = rule_of(code, figure.source, needs.axle, most_mm=figure.value)
        if less is None:
            results.append(rule.unknown("original-offset"))
            continue
        more = times * less
        good = more <= figure.value + 1e-9
        if more > 0:
            found = "found.less" if times == 1 else "found.more"
            results.append(rule.judged(good, found, by_mm=more))
        else:
            results.append(rule.judged(good, "found.no-change"))
    if "spacers" in law and law["spacers"].value < 1:
        rule = rule_of("spacers", law["spacers"].source, needs.axle)
        if fitted.spacer_mm:
            results.append(rule.judged(False, "found.spacer", spacer_mm=fitted.spacer_mm))
        else:
            results.append(rule.judged(True, "found.no-spacer"))
    if "full_thread" in law and law["full_thread"].value >= 1:
        rule = rule_of("full-thread", law["full_thread"].source, needs.axle)
        results.append(rule.unknown("look-at-nuts", told="found.look-at-nuts"))
    return results


def diameter_ratio(
    front: tuple[Needs, Fitted] | None,
    rear: tuple[Needs, Fitted] | None,
    all_driven: bool,
    figure: Figure,
) -> Result:
    """Front to rear diameter against the original ratio; ``figure`` allows so many per cent."""
    rule = rule_of(
        "diameter-ratio",
        figure.source,
        asks="ratio-driven" if all_driven else "ratio-compared",
        most_percent=figure.value,
    )
    if front is None:
        return rule.unknown("front-tyres")
    if rear is None:
        return rule.unknown("rear-tyres")
    ratios = []
    for new in (True, False):
        pair = [
            fitted.diameter_mm if new else original_diameter_mm(needs)
            for needs, fitted in (front, rear)
        ]
        if pair[0] is None or pair[1] is None:
            return rule.unknown("diameters" if new else "original-sizes")
        ratios.append(pair[0] / pair[1])
    off = 100.0 * (ratios[0] / ratios[1] - 1.0)
    return rule.judged(
        abs(off) <= figure.value + 1e-9,
        "found.ratio",
        now=ratios[0],
        before=ratios[1],
        off_percent=off,
    )
