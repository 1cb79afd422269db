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
    sentence,
    setting_deg,
    short_mm,
    with_unit,
)
from fitment.text.forms import gap_with_sigma

WHOLE_KG = with_unit("kg", 0)

RULES: dict[str, Sentence] = {
    "rule.bolt-circle": sentence(N_("Bolt circle and count")),
    "rule.centre-bore": sentence(N_("Centre bore and ring")),
    "rule.seat": sentence(N_("Seat of the nuts or bolts")),
    "rule.thread": sentence(N_("Thread")),
    "rule.engagement": sentence(N_("Thread engaged")),
    "rule.rim-width": sentence(N_("Rim width")),
    "rule.load-index": sentence(N_("Load index")),
    "rule.speed-symbol": sentence(N_("Speed symbol")),
    "rule.load-at-speed": sentence(N_("Load at top speed")),
    "rule.wheel-load": sentence(N_("Wheel load rating")),
    "rule.diameter": sentence(N_("Overall diameter")),
    "rule.diameter-mm": sentence(N_("Overall diameter, as a length")),
    "rule.offset": sentence(N_("Offset")),
    "rule.track": sentence(N_("Track width")),
    "rule.spacers": sentence(N_("Spacers")),
    "rule.full-thread": sentence(N_("Nuts on their full thread")),
    "rule.diameter-ratio": sentence(N_("Front to rear diameter")),
    "rule.brakes": sentence(N_("Brake and spokes")),
    "rule.cover": sentence(N_("Cover of the wheel")),
    "rule.rear-edge": sentence(N_("Rear edge of the cover")),
    "rule.gap-parts": sentence(N_("Gap to the suspension")),
    "rule.gap-body": sentence(N_("Gap to the body")),
    "rule.gap-lock": sentence(N_("Gap from lock to lock")),
    "rule.chain-tread": sentence(N_("Chains over the tread")),
    "rule.chain-side": sentence(N_("Chains beside the tyre")),
    "rule.height": sentence(N_("Ride height")),
    "rule.travel-left": sentence(N_("Travel left")),
}

ASKS: dict[str, Sentence] = {
    "asks.bolt-circle": sentence(N_("Wheel and hub have as many bolts on the same circle.")),
    "asks.centre-bore": sentence(
        N_(
            "The wheel is centred on the hub, itself or by a ring, with no more than {play_mm} of "
            "play."
        ),
        play_mm=short_mm,
    ),
    "asks.seat": sentence(N_("Nuts or bolts have the seat that the wheel was made for.")),
    "asks.thread": sentence(N_("Nuts or bolts have the thread of the hub.")),
    "asks.engagement": sentence(
        N_("Each nut or bolt is held by a length of thread of {diameters} × its diameter at least.")
    ),
    "asks.rim-width": sentence(
        N_(
            "The rim lies in the range that the tyre's maker approves; no rule gives it from the "
            "size."
        )
    ),
    "asks.load-index": sentence(
        N_("The tyre's load index is not lower than the car's papers ask for.")
    ),
    "asks.speed-symbol": sentence(
        N_(
            "The tyre's speed symbol is not lower than the car's papers ask for, nor its speed "
            "than the car's."
        )
    ),
    "asks.load-at-speed": sentence(
        N_(
            "Two tyres carry the axle's load at the car's top speed; V, W and Y carry less near "
            "their own (91 % at 240, 85 % at 270 and at 300 km/h)."
        )
    ),
    "asks.wheel-load": sentence(N_("Two wheels are rated for the axle's permitted load.")),
    "asks.diameter": sentence(
        N_(
            "The tyre's diameter is within {most_percent} of the original: speed reading, gearing "
            "and brake control follow it."
        )
    ),
    "asks.diameter-mm": sentence(
        N_(
            "The tyre's diameter is within {most_mm} of the original: speed reading, gearing and "
            "brake control follow it."
        ),
        most_mm=short_mm,
    ),
    "asks.offset": sentence(
        N_("The offset, spacer included, is smaller than the original by {most_mm} at most."),
        most_mm=short_mm,
    ),
    "asks.track": sentence(
        N_("The track is wider than with the original wheels by {most_mm} at most."),
        most_mm=short_mm,
    ),
    "asks.spacers": sentence(N_("No spacer, unless the car came with it.")),
    "asks.full-thread": sentence(N_("Every nut runs on the whole of its thread.")),
    "asks.ratio-driven": sentence(
        N_(
            "The ratio of the diameters is within {most_percent} of the original: both axles are "
            "driven together."
        )
    ),
    "asks.ratio-compared": sentence(
        N_(
            "The ratio of the diameters is within {most_percent} of the original: brake and "
            "traction control compare the axles."
        )
    ),
    "asks.brakes": sentence(
        N_("The brake clears barrel and spokes by {least_mm}."), least_mm=short_mm
    ),
    "asks.cover-no-law": sentence(
        N_(
            "The body covers the wheel over the arc that the law asks for; the shop has chosen no "
            "rules."
        )
    ),
    "asks.cover-tread": sentence(
        N_("The body covers the tread from {ahead_deg} ahead of to {behind_deg} behind the top.")
    ),
    "asks.cover-width": sentence(
        N_(
            "The body covers the whole width of the tyre from {ahead_deg} ahead of to "
            "{behind_deg} behind the top."
        )
    ),
    "asks.rear-edge": sentence(
        N_("Behind the wheel the cover reaches down to {height_mm} above the axle."),
        height_mm=short_mm,
    ),
    "asks.gap-parts": sentence(
        N_(
            "At least {least_mm} to parts of the suspension, over all the travel and steering of "
            "the use."
        ),
        least_mm=short_mm,
    ),
    "asks.gap-body": sentence(
        N_("At least {least_mm} to the body, over all the travel and steering of the use."),
        least_mm=short_mm,
    ),
    "asks.gap-lock": sentence(
        N_("At least {least_mm} lock to lock, over all the travel and steering of the use."),
        least_mm=short_mm,
    ),
    "asks.chain-tread": sentence(N_("{free_mm} free over the tread."), free_mm=short_mm),
    "asks.chain-side": sentence(N_("{free_mm} free beside the tyre."), free_mm=short_mm),
    "asks.height": sentence(
        N_("Changed by {most_mm} at most against the height of the survey."), most_mm=short_mm
    ),
    "asks.travel-left": sentence(
        N_(
            "No more than {most_share} of the travel in that direction is taken by height and "
            "packers."
        )
    ),
}

FOUND: dict[str, Sentence] = {
    "found.not-on-record": sentence(N_("Not on record: {missing}."), missing=commas),
    "bolt-pattern": sentence(N_("{count}×{across}")),
    "found.both": sentence(N_("Both {what}.")),
    "found.bolt-circles": sentence(N_("The wheel has {wheel}, the hub {car}.")),
    "found.bore-too-small": sentence(
        N_("The wheel's bore, {wheel_mm}, does not go over the hub, {hub_mm}."),
        wheel_mm=short_mm,
        hub_mm=short_mm,
    ),
    "found.on-the-hub": sentence(N_("The wheel sits on the hub: {hub_mm}."), hub_mm=short_mm),
    "found.takes-a-ring": sentence(
        N_("It takes a ring {wheel_mm} outside, {hub_mm} inside; none is named."),
        wheel_mm=short_mm,
        hub_mm=short_mm,
    ),
    "found.ring-centres": sentence(
        N_("A ring {wheel_mm} outside, {hub_mm} inside centres it."),
        wheel_mm=short_mm,
        hub_mm=short_mm,
    ),
    "found.wrong-ring": sentence(
        N_(
            "The ring is {outer_mm} outside and {inner_mm} inside; it takes {wheel_mm} outside, "
            "{hub_mm} inside."
        ),
        outer_mm=short_mm,
        inner_mm=short_mm,
        wheel_mm=short_mm,
        hub_mm=short_mm,
    ),
    "found.seats": sentence(N_("The wheel asks for {wheel}; the nuts or bolts have {nuts}.")),
    "found.own-nuts": sentence(N_("{hub}, with the car's own nuts or bolts.")),
    "found.no-thread": sentence(N_("“{thread}” is no thread.")),
    "found.threads": sentence(N_("{thread} on {hub}.")),
    "found.engaged": sentence(
        N_("{engaged_mm}, {turns} turns, through a {pad_mm} pad; {needed_mm} are needed."),
        engaged_mm=mm(1),
        turns=number(1),
        pad_mm=short_mm,
        needed_mm=mm(1),
    ),
    "found.engaged-spacer": sentence(
        N_(
            "{engaged_mm}, {turns} turns, through a {pad_mm} pad and a {spacer_mm} spacer; "
            "{needed_mm} are needed."
        ),
        engaged_mm=mm(1),
        turns=number(1),
        pad_mm=short_mm,
        spacer_mm=short_mm,
        needed_mm=mm(1),
    ),
    "found.rim": sentence(N_("Rim {width_in}; approved {low_in} to {high_in}.")),
    "found.rim-too-narrow": sentence(
        N_("Rim {width_in}; approved {low_in} to {high_in}, too narrow.")
    ),
    "found.rim-too-wide": sentence(N_("Rim {width_in}; approved {low_in} to {high_in}, too wide.")),
    "found.load-index-unknown": sentence(N_("The car's index is in no table.")),
    "found.load-index": sentence(N_("{index} ({load_kg}); asked {wanted} ({wanted_kg}).")),
    "found.speed-symbol": sentence(N_("{symbol}, {speed_kmh}; asked {wanted}, {wanted_kmh}.")),
    "found.speed": sentence(N_("{symbol}, {speed_kmh}; asked {wanted_kmh}.")),
    "found.symbol-too-slow": sentence(N_("A tyre marked {symbol} is not made for {speed_kmh}.")),
    "found.load-at-speed": sentence(
        N_("2 × {each_kg} at {speed_kmh} for {load_kg}."), each_kg=WHOLE_KG
    ),
    "found.wheel-load": sentence(N_("2 × {rating_kg} for {load_kg}.")),
    "found.diameter": sentence(
        N_("{across_mm} against {original_mm}: {off_mm}, {off_percent}."),
        across_mm=mm(0),
        original_mm=mm(0),
        off_mm=mm(0, signed=True),
        off_percent=percent(1, signed=True),
    ),
    "found.less": sentence(N_("{by_mm} less."), by_mm=short_mm),
    "found.more": sentence(N_("{by_mm} more."), by_mm=short_mm),
    "found.no-change": sentence(N_("No change in this direction.")),
    "found.spacer": sentence(N_("A {spacer_mm} spacer."), spacer_mm=short_mm),
    "found.no-spacer": sentence(N_("None.")),
    "found.look-at-nuts": sentence(N_("Look whether the stud fills every nut.")),
    "found.ratio": sentence(
        N_("Front to rear {now}, originally {before}: {off_percent}."),
        now=number(4),
        before=number(4),
        off_percent=percent(2, signed=True),
    ),
    "found.gap": sentence(N_("{spot}: {gap_mm}."), spot=capital, gap_mm=gap_with_sigma),
    "found.gap-in-part": sentence(
        N_("{spot}: {gap_mm}; not all is known."), spot=capital, gap_mm=gap_with_sigma
    ),
    "found.gap-in-travel": sentence(
        N_("{spot}: {gap_mm}, at {travel_mm} of travel; standing it is more."),
        spot=capital,
        gap_mm=gap_with_sigma,
        travel_mm=mm(0, signed=True),
    ),
    "found.stands-out-ahead": sentence(
        N_("Stands out {size_mm} past the {spot}, {angle_deg} ahead of the top."), size_mm=mm(1)
    ),
    "found.stands-out-behind": sentence(
        N_("Stands out {size_mm} past the {spot}, {angle_deg} behind the top."), size_mm=mm(1)
    ),
    "found.stands-out-inner-end-ahead": sentence(
        N_(
            "Stands out {size_mm} past the {spot}, {angle_deg} ahead of the top. The edge surveyed "
            "is the lip's inner end; the visible one may cover it."
        ),
        size_mm=mm(1),
    ),
    "found.stands-out-inner-end-behind": sentence(
        N_(
            "Stands out {size_mm} past the {spot}, {angle_deg} behind the top. The edge surveyed "
            "is the lip's inner end; the visible one may cover it."
        ),
        size_mm=mm(1),
    ),
    "found.covered-ahead": sentence(
        N_("{size_mm} inside the {spot} where it is least, {angle_deg} ahead of the top."),
        size_mm=mm(1),
    ),
    "found.covered-behind": sentence(
        N_("{size_mm} inside the {spot} where it is least, {angle_deg} behind the top."),
        size_mm=mm(1),
    ),
    "found.covered-in-part-ahead": sentence(
        N_(
            "{size_mm} inside the {spot} where it is least, {angle_deg} ahead of the top. Measured "
            "only from {from_deg} behind to {to_deg} ahead."
        ),
        size_mm=mm(1),
    ),
    "found.covered-in-part-behind": sentence(
        N_(
            "{size_mm} inside the {spot} where it is least, {angle_deg} behind the top. Measured "
            "only from {from_deg} behind to {to_deg} ahead."
        ),
        size_mm=mm(1),
    ),
    "found.rear-edge": sentence(N_("Measured down to {height_mm} above it."), height_mm=mm(0)),
    "found.height": sentence(N_("{change_mm}."), change_mm=mm(0, signed=True)),
    "found.travel-taken": sentence(
        N_("{taken_mm} of {travel_mm}, {taken_share}."), taken_mm=short_mm, travel_mm=short_mm
    ),
    "seat.cone60": sentence(N_("60° cone")),
    "seat.cone90": sentence(N_("90° cone")),
    "seat.ball12": sentence(N_("ball, 12 mm radius")),
    "seat.ball13": sentence(N_("ball, 13 mm radius")),
    "seat.ball14": sentence(N_("ball, 14 mm radius")),
    "seat.flat": sentence(N_("flat with a washer")),
    "seat.shank": sentence(N_("shank with a washer")),
}

MISSING: dict[str, Sentence] = {
    "missing.car-bolt-circle": sentence(N_("the car's bolt circle")),
    "missing.wheel-bolt-circle": sentence(N_("the wheel's bolt circle")),
    "missing.hub-bore": sentence(N_("the hub's centre bore")),
    "missing.wheel-bore": sentence(N_("the wheel's centre bore")),
    "missing.ring": sentence(N_("the centring ring")),
    "missing.wheel-seat": sentence(N_("the wheel's seat")),
    "missing.nut-seat": sentence(N_("the seat of the nuts or bolts")),
    "missing.hub-thread": sentence(N_("the hub's thread")),
    "missing.readable-thread": sentence(N_("a thread that can be read")),
    "missing.thread": sentence(N_("the thread")),
    "missing.length": sentence(N_("the length of studs or bolts")),
    "missing.pad": sentence(N_("the wheel's thickness at the bolts")),
    "missing.rim-widths": sentence(N_("the tyre's approved rim widths")),
    "missing.car-load-index": sentence(N_("the load index that the car asks for")),
    "missing.tyre-load-index": sentence(N_("the tyre's load index")),
    "missing.known-load-index": sentence(N_("a load index of the table")),
    "missing.car-speed-symbol": sentence(N_("the speed symbol that the car asks for")),
    "missing.tyre-speed-symbol": sentence(N_("the tyre's speed symbol")),
    "missing.axle-load": sentence(N_("the axle's permitted load")),
    "missing.top-speed": sentence(N_("the car's top speed")),
    "missing.wheel-load": sentence(N_("the wheel's load rating")),
    "missing.original-size": sentence(N_("the original tyre's size")),
    "missing.original-sizes": sentence(N_("the original tyres' sizes")),
    "missing.diameter": sentence(N_("the tyre's diameter")),
    "missing.diameters": sentence(N_("the tyres' diameters")),
    "missing.original-offset": sentence(N_("the original wheel's offset")),
    "missing.look-at-nuts": sentence(N_("a look at the nuts")),
    "missing.front-tyres": sentence(N_("the tyres that stay on the front axle")),
    "missing.rear-tyres": sentence(N_("the tyres that stay on the rear axle")),
    "missing.clearance-check": sentence(N_("a clearance check of this order as it is")),
    "missing.brake-outline": sentence(N_("the brake's outline in the survey")),
    "missing.barrel-and-spokes": sentence(N_("barrel and back of the spokes of this wheel")),
    "missing.law": sentence(N_("the rules that the shop goes by")),
    "missing.body-edge": sentence(N_("a body edge outboard of the wheel")),
    "missing.visible-edge": sentence(N_("the visible outer edge of the body")),
    "missing.rest-of-arc": sentence(N_("the rest of the arc")),
    "missing.rear-end": sentence(N_("the rear end of the body's edge")),
    "missing.measured-spot": sentence(N_("a measured spot")),
    "missing.standing-gap": sentence(N_("the gap standing still")),
    "missing.inside-wheel": sentence(N_("the clearance inside the wheel")),
    "missing.rest-of-survey": sentence(N_("the rest of the survey")),
    "missing.damper-travel": sentence(N_("the travel of the damper")),
}

SOURCES: dict[str, Sentence] = {
    "source-of.car-and-wheel": sentence(N_("dimensions of car and wheel")),
    "source-of.car": sentence(N_("dimensions of the car")),
    "source-of.tyre-maker": sentence(N_("the tyre maker's data")),
    "source-of.wheel-maker": sentence(N_("the wheel maker's rating; the car's papers")),
    "source-of.papers-and-loads": sentence(
        N_("the car's papers; loads by UN Regulation No. 30, Annex IV")
    ),
    "source-of.papers-and-speeds": sentence(N_("the car's papers; UN Regulation No. 30, Annex IV")),
    "source-of.regulation-30": sentence(N_("UN Regulation No. 30")),
    "source-of.shop-settings": sentence(N_("Limits and rules, in the shop's settings")),
}

#: Sources that the program itself names in a shop's law.
USUAL_SOURCES = (
    N_("common practice, no source"),
    N_("common practice, no source; with new pads"),
    N_("common practice, no source; lips turn in by 8 to 25 mm"),
)

SUMMARY: dict[str, Sentence] = {
    "mounting.all-pass": sentence(N_("All mounting checks pass, {all} in all.")),
    "mounting.fail": sentence(N_("Mounting checks that fail: {count} of {all}.")),
    "mounting.also-open": sentence(N_("Not enough data yet: {names}.")),
    "mounting.open": sentence(
        N_("No mounting check fails; not enough data yet for {count} of {all}: {names}.")
    ),
    "mounting.failing": sentence(N_("{title} ({axles}): {found}")),
    "mounting.at-corner": sentence(N_("{corner}: {found}"), corner=capital),
    "mounting.both-axles": sentence(N_("both axles")),
    "mounting.not-needed": sentence(N_("This job needs no mounting checks.")),
    "mounting.nothing-mounted": sentence(N_("The order mounts no wheels or tyres yet.")),
    "mounting.out-of-date": sentence(
        N_(
            "The mounting checks are out of date: wheel, tyre, nuts, the car's papers, the "
            "clearance check or the rules changed since."
        )
    ),
    "mounting.not-checked": sentence(N_("The mounting has not been checked.")),
    "outcome.passes": sentence(N_("passes")),
    "outcome.fails": sentence(N_("fails")),
    "outcome.cannot say": sentence(N_("cannot say")),
    "mounting.changed-new": sentence(N_("{title}: new, {now}")),
    "mounting.changed-outcome": sentence(N_("{title}: {before} on record, {now} now")),
    "mounting.changed-found": sentence(N_("{title}: {found} on record")),
    "mounting.title-axle": sentence(N_("{title}, {axle}")),
    "axle-name.front": sentence(N_("front")),
    "axle-name.rear": sentence(N_("rear")),
}

CONDITIONS: dict[str, Sentence] = {
    "condition.wheel": sentence(N_("wheel")),
    "condition.tyre": sentence(N_("tyre")),
    "condition.offset": sentence(N_("offset")),
    "condition.spacer": sentence(N_("spacer")),
    "condition.camber": sentence(N_("camber")),
    "condition.camber-method": sentence(N_("camber set with")),
    "condition.height": sentence(N_("height against the original")),
    "condition.part": sentence(N_("part")),
    "condition.in-words": sentence(N_("in words")),
    "condition.not-planned": sentence(N_("not planned")),
    "condition.not-on-it": sentence(N_("not on it")),
    "condition.read-and-look": sentence(N_("read and look")),
    "condition.camber-or-more": sentence(
        N_("{camber_deg} or more negative"), camber_deg=setting_deg
    ),
    "condition.camber-is": sentence(N_("{camber_deg}"), camber_deg=setting_deg),
    "condition.between-mm": sentence(
        N_("{low_mm} to {high_mm}"), low_mm=short_mm, high_mm=short_mm
    ),
    "condition.at-least-mm": sentence(N_("at least {low_mm}"), low_mm=short_mm),
    "condition.at-most-mm": sentence(N_("at most {high_mm}"), high_mm=short_mm),
    "condition.is-mm": sentence(N_("{has_mm}"), has_mm=short_mm),
    "condition.between-deg": sentence(
        N_("{low_deg} to {high_deg}"), low_deg=setting_deg, high_deg=setting_deg
    ),
    "condition.at-least-deg": sentence(N_("at least {low_deg}"), low_deg=setting_deg),
    "condition.at-most-deg": sentence(N_("at most {high_deg}"), high_deg=setting_deg),
    "condition.is-deg": sentence(N_("{has_deg}"), has_deg=setting_deg),
    "rim-size": sentence(N_("{width}×{diameter}")),
    "wheel-size": sentence(N_("{width}×{diameter} ET{offset}")),
}

MESSAGES = CONDITIONS | RULES | ASKS | FOUND | MISSING | SOURCES | SUMMARY
