"""Sentences for mounting checks: their names, what they ask, what was found, what is missing."""

from __future__ import annotations

from django.utils.translation import gettext_noop as N_

from alignment.text.render import (
    Sentence,
    capital,
    commas,
    mm,
    number,
    percent,
    plural,
    sentence,
    setting_deg,
    short_mm,
    with_unit,
)
from fitment.text.forms import gap_with_sigma

WHOLE_KG = with_unit("kg", 0)

RULES: dict[str, Sentence] = {
    "rule.bolt-circle": sentence("Bolt circle and count"),
    "rule.centre-bore": sentence("Centre bore and ring"),
    "rule.seat": sentence("Seat of the nuts or bolts"),
    "rule.thread": sentence("Thread"),
    "rule.engagement": sentence("Thread engaged"),
    "rule.rim-width": sentence("Rim width"),
    "rule.load-index": sentence("Load index"),
    "rule.speed-symbol": sentence("Speed symbol"),
    "rule.load-at-speed": sentence("Load at top speed"),
    "rule.wheel-load": sentence("Wheel load rating"),
    "rule.diameter": sentence("Overall diameter"),
    "rule.diameter-mm": sentence("Overall diameter, as a length"),
    "rule.offset": sentence("Offset"),
    "rule.track": sentence("Track width"),
    "rule.spacers": sentence("Spacers"),
    "rule.full-thread": sentence("Nuts on their full thread"),
    "rule.diameter-ratio": sentence("Front to rear diameter"),
    "rule.brakes": sentence("Brake and spokes"),
    "rule.cover": sentence("Cover of the wheel"),
    "rule.rear-edge": sentence("Rear edge of the cover"),
    "rule.gap-parts": sentence("Gap to the suspension"),
    "rule.gap-body": sentence("Gap to the body"),
    "rule.gap-lock": sentence("Gap from lock to lock"),
    "rule.chain-tread": sentence("Chains over the tread"),
    "rule.chain-side": sentence("Chains beside the tyre"),
    "rule.height": sentence("Ride height"),
    "rule.travel-left": sentence("Travel left"),
}

ASKS: dict[str, Sentence] = {
    "asks.bolt-circle": sentence("Wheel and hub have as many bolts on the same circle."),
    "asks.centre-bore": sentence(
        "The wheel is centred on the hub, itself or by a ring, with no more than {play_mm} of "
        "play.",
        play_mm=short_mm,
    ),
    "asks.seat": sentence("Nuts or bolts have the seat that the wheel was made for."),
    "asks.thread": sentence("Nuts or bolts have the thread of the hub."),
    "asks.engagement": sentence(
        "Each nut or bolt is held by a length of thread of {diameters} × its diameter at least."
    ),
    "asks.rim-width": sentence(
        "The rim lies in the range that the tyre's maker approves; no rule gives it from the size."
    ),
    "asks.load-index": sentence(
        "The tyre's load index is not lower than the car's papers ask for."
    ),
    "asks.speed-symbol": sentence(
        "The tyre's speed symbol is not lower than the car's papers ask for, nor its speed "
        "than the car's."
    ),
    "asks.load-at-speed": sentence(
        "Two tyres carry the axle's load at the car's top speed; V, W and Y carry less near "
        "their own (91 % at 240, 85 % at 270 and at 300 km/h)."
    ),
    "asks.wheel-load": sentence("Two wheels are rated for the axle's permitted load."),
    "asks.diameter": sentence(
        "The tyre's diameter is within {most_percent} of the original: speed reading, gearing "
        "and brake control follow it."
    ),
    "asks.diameter-mm": sentence(
        "The tyre's diameter is within {most_mm} of the original: speed reading, gearing and "
        "brake control follow it.",
        most_mm=short_mm,
    ),
    "asks.offset": sentence(
        "The offset, spacer included, is smaller than the original by {most_mm} at most.",
        most_mm=short_mm,
    ),
    "asks.track": sentence(
        "The track is wider than with the original wheels by {most_mm} at most.",
        most_mm=short_mm,
    ),
    "asks.spacers": sentence("No spacer, unless the car came with it."),
    "asks.full-thread": sentence("Every nut runs on the whole of its thread."),
    "asks.ratio-driven": sentence(
        "The ratio of the diameters is within {most_percent} of the original: both axles are "
        "driven together."
    ),
    "asks.ratio-compared": sentence(
        "The ratio of the diameters is within {most_percent} of the original: brake and "
        "traction control compare the axles."
    ),
    "asks.brakes": sentence("The brake clears barrel and spokes by {least_mm}.", least_mm=short_mm),
    "asks.cover-no-law": sentence(
        "The body covers the wheel over the arc that the law asks for; the shop has chosen no "
        "rules."
    ),
    "asks.cover-tread": sentence(
        "The body covers the tread from {ahead_deg} ahead of to {behind_deg} behind the top."
    ),
    "asks.cover-width": sentence(
        "The body covers the whole width of the tyre from {ahead_deg} ahead of to "
        "{behind_deg} behind the top."
    ),
    "asks.rear-edge": sentence(
        "Behind the wheel the cover reaches down to {height_mm} above the axle.",
        height_mm=short_mm,
    ),
    "asks.gap-parts": sentence(
        "At least {least_mm} to parts of the suspension, over all the travel and steering of "
        "the use.",
        least_mm=short_mm,
    ),
    "asks.gap-body": sentence(
        "At least {least_mm} to the body, over all the travel and steering of the use.",
        least_mm=short_mm,
    ),
    "asks.gap-lock": sentence(
        "At least {least_mm} lock to lock, over all the travel and steering of the use.",
        least_mm=short_mm,
    ),
    "asks.chain-tread": sentence("{free_mm} free over the tread.", free_mm=short_mm),
    "asks.chain-side": sentence("{free_mm} free beside the tyre.", free_mm=short_mm),
    "asks.height": sentence(
        "Changed by {most_mm} at most against the height of the survey.", most_mm=short_mm
    ),
    "asks.travel-left": sentence(
        "No more than {most_share} of the travel in that direction is taken by height and packers."
    ),
}

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

SOURCES: dict[str, Sentence] = {
    "source-of.car-and-wheel": sentence("dimensions of car and wheel"),
    "source-of.car": sentence("dimensions of the car"),
    "source-of.tyre-maker": sentence("the tyre maker's data"),
    "source-of.wheel-maker": sentence("the wheel maker's rating; the car's papers"),
    "source-of.papers-and-loads": sentence(
        "the car's papers; loads by UN Regulation No. 30, Annex IV"
    ),
    "source-of.papers-and-speeds": sentence("the car's papers; UN Regulation No. 30, Annex IV"),
    "source-of.regulation-30": sentence("UN Regulation No. 30"),
    "source-of.shop-settings": sentence("Limits and rules, in the shop's settings"),
}

#: Sources that the program itself offers for a shop's rules, which keep them as text.
OFFERED_SOURCES = (
    N_("common practice, no source"),
    N_("common practice, no source; with new pads"),
    N_("common practice, no source; lips turn in by 8 to 25 mm"),
    N_("Commission Regulation (EU) 1009/2010, Annex II, 2.1.1"),
    N_("German national rule on wheel covers"),
    N_("Austrian inspection guidance"),
    N_("British Columbia vehicle inspection manual"),
    N_("SAE J1232, class S"),
    N_("SAE J1232, class U"),
    N_("SAE J1232, class W"),
    N_("South Australia, light vehicle modification rules"),
    N_("VSB 14, national code of practice"),
)

SUMMARY: dict[str, Sentence] = {
    "mounting.all-pass": sentence("All mounting checks pass, {all} in all."),
    "mounting.fail": plural(
        "{count} of {all} mounting checks fails.", "{count} of {all} mounting checks fail."
    ),
    "mounting.also-open": sentence("Not enough data yet: {names}."),
    "mounting.open": sentence(
        "No mounting check fails; not enough data yet for {count} of {all}: {names}."
    ),
    "mounting.failing": sentence("{title} ({axles}): {found}"),
    "mounting.at-corner": sentence("{corner}: {found}", corner=capital),
    "mounting.both-axles": sentence("both axles"),
    "mounting.not-needed": sentence("This job needs no mounting checks."),
    "mounting.nothing-mounted": sentence("The order mounts no wheels or tyres yet."),
    "mounting.out-of-date": sentence(
        "The mounting checks are out of date: wheel, tyre, nuts, the car's papers, the "
        "clearance check or the rules changed since."
    ),
    "mounting.not-checked": sentence("The mounting has not been checked."),
    "outcome.passes": sentence("passes"),
    "outcome.fails": sentence("fails"),
    "outcome.cannot say": sentence("cannot say"),
    "mounting.changed-new": sentence("{title}: new, {now}"),
    "mounting.changed-outcome": sentence("{title}: {before} on record, {now} now"),
    "mounting.changed-found": sentence("{title}: {found} on record"),
    "mounting.title-axle": sentence("{title}, {axle}"),
    "axle-name.front": sentence("front"),
    "axle-name.rear": sentence("rear"),
}

CONDITIONS: dict[str, Sentence] = {
    "condition.wheel": sentence("wheel"),
    "condition.tyre": sentence("tyre"),
    "condition.offset": sentence("offset"),
    "condition.spacer": sentence("spacer"),
    "condition.camber": sentence("camber"),
    "condition.camber-method": sentence("camber set with"),
    "condition.height": sentence("height against the original"),
    "condition.part": sentence("part"),
    "condition.in-words": sentence("in words"),
    "condition.not-planned": sentence("not planned"),
    "condition.not-on-it": sentence("not on it"),
    "condition.read-and-look": sentence("read and look"),
    "condition.camber-or-more": sentence("{camber_deg} or more negative", camber_deg=setting_deg),
    "condition.camber-is": sentence("{camber_deg}", camber_deg=setting_deg),
    "condition.between-mm": sentence("{low_mm} to {high_mm}", low_mm=short_mm, high_mm=short_mm),
    "condition.at-least-mm": sentence("at least {low_mm}", low_mm=short_mm),
    "condition.at-most-mm": sentence("at most {high_mm}", high_mm=short_mm),
    "condition.is-mm": sentence("{has_mm}", has_mm=short_mm),
    "condition.between-deg": sentence(
        "{low_deg} to {high_deg}", low_deg=setting_deg, high_deg=setting_deg
    ),
    "condition.at-least-deg": sentence("at least {low_deg}", low_deg=setting_deg),
    "condition.at-most-deg": sentence("at most {high_deg}", high_deg=setting_deg),
    "condition.is-deg": sentence("{has_deg}", has_deg=setting_deg),
    "rim-size": sentence("{width}×{diameter}"),
    "wheel-size": sentence("{width}×{diameter} ET{offset}"),
}

MESSAGES = CONDITIONS | RULES | ASKS | FOUND | MISSING | SOURCES | SUMMARY
