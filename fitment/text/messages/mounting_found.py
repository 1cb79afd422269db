"""Sentences for what mounting checks found, and for what they miss."""

from __future__ import annotations

from alignment.text.render import (
    Sentence,
    capital,
    commas,
    mm,
    number,
    percent,
    sentence,
    short_mm,
    with_unit,
)
from fitment.text.forms import gap_with_sigma

WHOLE_KG = with_unit("kg", 0)

FOUND: dict[str, Sentence] = {
    "found.not-on-record": sentence("Not on record: {missing}.", missing=commas),
    "bolt-pattern": sentence("{count}×{across}"),
    "found.both": sentence("Both {what}."),
    "found.bolt-circles": sentence("The wheel has {wheel}, the hub {car}."),
    "found.bore-too-small": sentence(
        "The wheel's bore, {wheel_mm}, does not go over the hub, {hub_mm}.",
        wheel_mm=short_mm,
        hub_mm=short_mm,
    ),
    "found.on-the-hub": sentence("The wheel sits on the hub: {hub_mm}.", hub_mm=short_mm),
    "found.takes-a-ring": sentence(
        "It takes a ring {wheel_mm} outside, {hub_mm} inside; none is named.",
        wheel_mm=short_mm,
        hub_mm=short_mm,
    ),
    "found.ring-centres": sentence(
        "A ring {wheel_mm} outside, {hub_mm} inside centres it.",
        wheel_mm=short_mm,
        hub_mm=short_mm,
    ),
    "found.wrong-ring": sentence(
        "The ring is {outer_mm} outside and {inner_mm} inside; it takes {wheel_mm} outside, "
        "{hub_mm} inside.",
        outer_mm=short_mm,
        inner_mm=short_mm,
        wheel_mm=short_mm,
        hub_mm=short_mm,
    ),
    "found.seats": sentence("The wheel asks for {wheel}; the nuts or bolts have {nuts}."),
    "found.own-nuts": sentence("{hub}, with the car's own nuts or bolts."),
    "found.no-thread": sentence("“{thread}” is no thread."),
    "found.threads": sentence("{thread} on {hub}."),
    "found.engaged": sentence(
        "{engaged_mm}, {turns} turns, through a {pad_mm} pad; {needed_mm} are needed.",
        engaged_mm=mm(1),
        turns=number(1),
        pad_mm=short_mm,
        needed_mm=mm(1),
    ),
    "found.engaged-spacer": sentence(
        "{engaged_mm}, {turns} turns, through a {pad_mm} pad and a {spacer_mm} spacer; "
        "{needed_mm} are needed.",
        engaged_mm=mm(1),
        turns=number(1),
        pad_mm=short_mm,
        spacer_mm=short_mm,
        needed_mm=mm(1),
    ),
    "found.open-nuts": sentence("Open nuts: the stud may stand out."),
    "found.closed-nut": sentence(
        "The stud reaches {reaches_mm} past the seat; the closed nut ends after {depth_mm}.",
        reaches_mm=mm(1),
        depth_mm=mm(1),
    ),
    "found.bolt-end": sentence(
        "The bolt reaches {reaches_mm} behind the hub face; {depth_mm} are free there.",
        reaches_mm=mm(1),
        depth_mm=mm(1),
    ),
    "found.touches": sentence(
        "{spot}: {gap_mm}. The wheel touches it.", spot=capital, gap_mm=gap_with_sigma
    ),
    "found.lock-free": sentence("Nothing hard stops the wheel from stop to stop."),
    "found.lock-blocked": sentence(
        "{spot}: the wheel runs {overlap_mm} into it at {steer_deg} of steering, standing still.",
        spot=capital,
        overlap_mm=mm(0),
    ),
    "found.rim": sentence("Rim {width_in}; approved {low_in} to {high_in}."),
    "found.rim-too-narrow": sentence("Rim {width_in}; approved {low_in} to {high_in}, too narrow."),
    "found.rim-too-wide": sentence("Rim {width_in}; approved {low_in} to {high_in}, too wide."),
    "found.load-index-unknown": sentence("The car's index is in no table."),
    "found.load-index": sentence("{index} ({load_kg}); asked {wanted} ({wanted_kg})."),
    "found.speed-symbol": sentence("{symbol}, {speed_kmh}; asked {wanted}, {wanted_kmh}."),
    "found.speed": sentence("{symbol}, {speed_kmh}; asked {wanted_kmh}."),
    "found.symbol-too-slow": sentence("A tyre marked {symbol} is not made for {speed_kmh}."),
    "found.load-at-speed": sentence(
        "2 × {each_kg} at {speed_kmh} for {load_kg}.", each_kg=WHOLE_KG
    ),
    "found.wheel-load": sentence("2 × {rating_kg} for {load_kg}."),
    "found.diameter": sentence(
        "{across_mm} against {original_mm}: {off_mm}, {off_percent}.",
        across_mm=mm(0),
        original_mm=mm(0),
        off_mm=mm(0, signed=True),
        off_percent=percent(1, signed=True),
    ),
    "found.less": sentence("{by_mm} less.", by_mm=short_mm),
    "found.more": sentence("{by_mm} more.", by_mm=short_mm),
    "found.no-change": sentence("No change in this direction."),
    "found.spacer": sentence("A {spacer_mm} spacer.", spacer_mm=short_mm),
    "found.no-spacer": sentence("None."),
    "found.look-at-nuts": sentence("Look whether the stud fills every nut."),
    "found.ratio": sentence(
        "Front to rear {now}, originally {before}: {off_percent}.",
        now=number(4),
        before=number(4),
        off_percent=percent(2, signed=True),
    ),
    "found.gap": sentence("{spot}: {gap_mm}.", spot=capital, gap_mm=gap_with_sigma),
    "found.gap-in-part": sentence(
        "{spot}: {gap_mm}; not all is known.", spot=capital, gap_mm=gap_with_sigma
    ),
    "found.gap-in-travel": sentence(
        "{spot}: {gap_mm}, at {travel_mm} of travel; standing it is more.",
        spot=capital,
        gap_mm=gap_with_sigma,
        travel_mm=mm(0, signed=True),
    ),
    "found.stands-out-ahead": sentence(
        "Stands out {size_mm} past the {spot}, {angle_deg} ahead of the top.", size_mm=mm(1)
    ),
    "found.stands-out-behind": sentence(
        "Stands out {size_mm} past the {spot}, {angle_deg} behind the top.", size_mm=mm(1)
    ),
    "found.stands-out-inner-end-ahead": sentence(
        "Stands out {size_mm} past the {spot}, {angle_deg} ahead of the top. The edge surveyed "
        "is the lip's inner end; the visible one may cover it.",
        size_mm=mm(1),
    ),
    "found.stands-out-inner-end-behind": sentence(
        "Stands out {size_mm} past the {spot}, {angle_deg} behind the top. The edge surveyed "
        "is the lip's inner end; the visible one may cover it.",
        size_mm=mm(1),
    ),
    "found.covered-ahead": sentence(
        "{size_mm} inside the {spot} where it is least, {angle_deg} ahead of the top.",
        size_mm=mm(1),
    ),
    "found.covered-behind": sentence(
        "{size_mm} inside the {spot} where it is least, {angle_deg} behind the top.",
        size_mm=mm(1),
    ),
    "found.covered-in-part-ahead": sentence(
        "{size_mm} inside the {spot} where it is least, {angle_deg} ahead of the top. Measured "
        "only from {from_deg} behind to {to_deg} ahead.",
        size_mm=mm(1),
    ),
    "found.covered-in-part-behind": sentence(
        "{size_mm} inside the {spot} where it is least, {angle_deg} behind the top. Measured "
        "only from {from_deg} behind to {to_deg} ahead.",
        size_mm=mm(1),
    ),
    "found.rear-edge": sentence("Measured down to {height_mm} above it.", height_mm=mm(0)),
    "found.height": sentence("{change_mm}.", change_mm=mm(0, signed=True)),
    "found.travel-taken": sentence(
        "{taken_mm} of {travel_mm}, {taken_share}.", taken_mm=short_mm, travel_mm=short_mm
    ),
    "seat.cone60": sentence("60° cone"),
    "seat.cone90": sentence("90° cone"),
    "seat.ball12": sentence("ball, 12 mm radius"),
    "seat.ball13": sentence("ball, 13 mm radius"),
    "seat.ball14": sentence("ball, 14 mm radius"),
    "seat.flat": sentence("flat with a washer"),
    "seat.shank": sentence("shank with a washer"),
}

MISSING: dict[str, Sentence] = {
    "missing.car-bolt-circle": sentence("the car's bolt circle"),
    "missing.wheel-bolt-circle": sentence("the wheel's bolt circle"),
    "missing.hub-bore": sentence("the hub's centre bore"),
    "missing.wheel-bore": sentence("the wheel's centre bore"),
    "missing.ring": sentence("the centring ring"),
    "missing.wheel-seat": sentence("the wheel's seat"),
    "missing.nut-seat": sentence("the seat of the nuts or bolts"),
    "missing.hub-thread": sentence("the hub's thread"),
    "missing.readable-thread": sentence("a thread that can be read"),
    "missing.thread": sentence("the thread"),
    "missing.length": sentence("the length of studs or bolts"),
    "missing.fastener": sentence("whether studs or bolts hold the wheel"),
    "missing.nut-form": sentence("whether the nuts are open or closed"),
    "missing.nut-depth": sentence("the depth of the closed nuts"),
    "missing.thread-depth": sentence("the free depth behind the hub face"),
    "missing.pad": sentence("the wheel's thickness at the bolts"),
    "missing.rim-widths": sentence("the tyre's approved rim widths"),
    "missing.car-load-index": sentence("the load index that the car asks for"),
    "missing.tyre-load-index": sentence("the tyre's load index"),
    "missing.known-load-index": sentence("a load index of the table"),
    "missing.car-speed-symbol": sentence("the speed symbol that the car asks for"),
    "missing.tyre-speed-symbol": sentence("the tyre's speed symbol"),
    "missing.axle-load": sentence("the axle's permitted load"),
    "missing.top-speed": sentence("the car's top speed"),
    "missing.wheel-load": sentence("the wheel's load rating"),
    "missing.original-size": sentence("the original tyre's size"),
    "missing.original-sizes": sentence("the original tyres' sizes"),
    "missing.diameter": sentence("the tyre's diameter"),
    "missing.diameters": sentence("the tyres' diameters"),
    "missing.original-offset": sentence("the original wheel's offset"),
    "missing.look-at-nuts": sentence("a look at the nuts"),
    "missing.front-tyres": sentence("the tyres that stay on the front axle"),
    "missing.rear-tyres": sentence("the tyres that stay on the rear axle"),
    "missing.clearance-check": sentence("a clearance check of this order as it is"),
    "missing.brake-outline": sentence("the brake's outline in the survey"),
    "missing.barrel-and-spokes": sentence("barrel and back of the spokes of this wheel"),
    "missing.law": sentence("the rules that the shop goes by"),
    "missing.body-edge": sentence("a body edge outboard of the wheel"),
    "missing.visible-edge": sentence("the visible outer edge of the body"),
    "missing.rest-of-arc": sentence("the rest of the arc"),
    "missing.rear-end": sentence("the rear end of the body's edge"),
    "missing.measured-spot": sentence("a measured spot"),
    "missing.standing-gap": sentence("the gap standing still"),
    "missing.inside-wheel": sentence("the clearance inside the wheel"),
    "missing.rest-of-survey": sentence("the rest of the survey"),
    "missing.damper-travel": sentence("the travel of the damper"),
}

MESSAGES = FOUND | MISSING
