"""Sentences for mounting checks: their names, what they ask and whose rule that is."""

from __future__ import annotations

from django.utils.translation import gettext_noop as N_

from alignment.text.render import (
    Sentence,
    capital,
    plural,
    sentence,
    setting_deg,
    short_mm,
)

RULES: dict[str, Sentence] = {
    "rule.bolt-circle": sentence("Bolt circle and count"),
    "rule.centre-bore": sentence("Centre bore and ring"),
    "rule.seat": sentence("Seat of the nuts or bolts"),
    "rule.thread": sentence("Thread"),
    "rule.engagement": sentence("Thread engaged"),
    "rule.end-of-thread": sentence("End of bolts or studs"),
    "rule.lock": sentence("Steering lock"),
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
    "asks.closed-nut": sentence("A stud ends before the end of a closed nut: else nothing clamps."),
    "asks.bolt-end": sentence(
        "A bolt ends before anything behind the hub face: else nothing clamps, or it meets the "
        "brake."
    ),
    "asks.lock": sentence(
        "The wheel turns from stop to stop with the car standing; a tyre may be pressed "
        "{give_mm} onto something hard.",
        give_mm=short_mm,
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
    "dry-fit.nothing": sentence("No dry fit found anything that touches."),
    "dry-fit.touches": sentence(
        "Dry fit, {axle}: the wheel touches {what}. These wheels cannot be mounted."
    ),
    "dry-fit.clears": sentence("Dry fit, {axle}: nothing touches."),
    "dry-fit.on-car": sentence("Dry fit, {axle}: these wheels are on the car already."),
    "dry-fit.brake": sentence("caliper, disc or hoses"),
    "dry-fit.hardware": sentence("balance weights or brake hardware"),
    "dry-fit.sensor": sentence("the tyre pressure sensor"),
    "dry-fit.lock": sentence("something hard at full lock"),
    "mounting.all-pass": sentence("All mounting checks pass, {all} in all."),
    "mounting.fail": plural(
        "{count} of {all} mounting checks fails.", "{count} of {all} mounting checks fail."
    ),
    "mounting.barred": plural(
        "Cannot be mounted: {count} of {all} mounting checks allows no exception.",
        "Cannot be mounted: {count} of {all} mounting checks allow no exception.",
    ),
    "mounting.also-fail": plural(
        "{count} more mounting check fails.", "{count} more mounting checks fail."
    ),
    "mounting.also-open": sentence("Not enough data yet: {names}."),
    "mounting.open": sentence(
        "No mounting check fails; not enough data yet for {count} of {all}: {names}."
    ),
    "mounting.unjudged": sentence(
        "No mounting check fails; not enough data yet for {count} of {all}."
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
    "outcome.cannot be mounted": sentence("cannot be mounted"),
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

MESSAGES = CONDITIONS | RULES | ASKS | SOURCES | SUMMARY
