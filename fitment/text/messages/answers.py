"""Sentences for a check's answer: findings, poses, chances, what is missing, what is out of reach.

Findings name the tyre or the wheel of the corner and the spot; a customer reads an owner's words
first, which never say that anything will fit.
"""

from __future__ import annotations

from django.utils.translation import gettext_noop as N_

from alignment.text.render import (
    Sentence,
    amount_mm,
    below,
    capital,
    deg,
    mm,
    sentence,
    short_mm,
)

SIGMA = mm(never_zero=True)
GAP = mm(bare=True)

FINDINGS: dict[str, Sentence] = {
    # What touches or clears; {what} is one of the parts below
    "finding.contact": sentence(N_("{what} overlaps the {spot} by {gap}, {pose}."), what=capital),
    "finding.doubtful": sentence(
        N_(
            "{what} may touch the {spot}: the clearance is {gap}, {chance_share} chance of "
            "touching, {pose}. To narrow this down: {reading}."
        ),
        what=capital,
    ),
    "finding.tight": sentence(
        N_("{what} clears the {spot} by {gap} where {needed_mm} is needed, {pose}."),
        what=capital,
        needed_mm=short_mm,
    ),
    "finding.clear": sentence(N_("{what} clears the {spot} by {gap}, {pose}."), what=capital),
    "finding.unmeasured": sentence(N_("Clearance of {what} to the {spot} is not known: {why}.")),
    "finding.also": sentence(N_("Also overlapping: {spots}.")),
    # A clearance with its uncertainty
    "gap": sentence(N_("{gap_mm} ± {sigma_mm}"), gap_mm=GAP, sigma_mm=SIGMA),
    "gap.tight": sentence(N_("{gap_mm} (± {sigma_mm})"), gap_mm=below("needed_mm"), sigma_mm=SIGMA),
    "gap.least": sentence(N_("{gap_mm} (± {sigma_mm})"), gap_mm=amount_mm, sigma_mm=SIGMA),
    # What touches
    "what.tyre": sentence(N_("the tyre")),
    "what.wheel": sentence(N_("the wheel")),
    "what.tyre.LF": sentence(N_("the front left tyre")),
    "what.tyre.RF": sentence(N_("the front right tyre")),
    "what.tyre.LR": sentence(N_("the rear left tyre")),
    "what.tyre.RR": sentence(N_("the rear right tyre")),
    "what.wheel.LF": sentence(N_("the front left wheel")),
    "what.wheel.RF": sentence(N_("the front right wheel")),
    "what.wheel.LR": sentence(N_("the rear left wheel")),
    "what.wheel.RR": sentence(N_("the rear right wheel")),
    # Poses
    "pose.constant": sentence(N_("the same over all travel and steering")),
    "pose.standing": sentence(N_("at ride height, straight ahead")),
    "pose.bump": sentence(N_("{travel_mm} into bump"), travel_mm=mm(0)),
    "pose.droop": sentence(N_("{travel_mm} into droop"), travel_mm=mm(0)),
    "pose.height": sentence(N_("at ride height")),
    "pose.steered-in": sentence(N_("{height} with {steer_deg} of steering inward")),
    "pose.steered-out": sentence(N_("{height} with {steer_deg} of steering outward")),
    "pose.loaded": sentence(N_("{pose}, in a hard corner")),
}

ANSWERS: dict[str, Sentence] = {
    "answer.nothing": sentence(N_("Nothing was checked.")),
    "answer.stopped": sentence(
        N_("The suspension as surveyed cannot be set as planned: {why}."),
    ),
    "answer.more-elsewhere": sentence(N_("More clearance at the {corners}.")),
    "answer.also.contact": sentence(N_("Also overlapping: {corners}.")),
    "answer.also.unmeasured": sentence(N_("Also not fully measured: {corners}.")),
    "answer.also.doubtful": sentence(N_("Also doubtful: {corners}.")),
    "answer.also.tight": sentence(N_("Also tight: {corners}.")),
    "answer.corner-verdict": sentence(N_("{corner}: {verdict}."), corner=capital),
    "answer.corner-open": sentence(
        N_("{corner}: not fully measured, so not known to clear: {why}."), corner=capital
    ),
    "answer.open-besides": sentence(N_("Beyond that not measured: {why}.")),
    "answer.nothing-surveyed": sentence(N_("no spot was surveyed here")),
    "answer.never-surveyed": sentence(
        N_("Never surveyed, so no clearance is known there: {corners}.")
    ),
    # What an owner reads first; {spot} is what is touched, {when} a situation on the road
    "owner.certain": sentence(
        N_("It will almost certainly rub the {spot} {when}: the chance on your car is {chance}.")
    ),
    "owner.probable": sentence(
        N_("It will probably rub the {spot} {when}: the chance on your car is {chance}.")
    ),
    "owner.possible": sentence(
        N_("It may rub the {spot} {when}: the chance on your car is {chance}.")
    ),
    "owner.unlikely": sentence(
        N_("It is unlikely to rub the {spot} {when}: the chance on your car is {chance}.")
    ),
    "owner.very-unlikely": sentence(
        N_("It is very unlikely to rub: the chance on your car is {chance}.")
    ),
    "owner.unknown": sentence(
        N_("Whether it will rub is not known yet: not everything has been measured.")
    ),
    "owner.out-of-reach": sentence(
        N_("The parts on your car do not reach this setting."),
    ),
    "when.always": sentence(N_("all the time")),
    "when.standing": sentence(N_("even when the car stands still")),
    "when.steered": sentence(N_("when the wheel is turned")),
    "when.bump": sentence(N_("when you hit a bump")),
    "when.bump-steered": sentence(N_("when you hit a bump with the wheel turned")),
    "when.droop": sentence(N_("when the wheel drops away, as over a crest")),
    "when.droop-steered": sentence(N_("when the wheel drops away while it is turned")),
    "when.corner": sentence(N_("in a hard corner")),
    "chance.in-ten": sentence(N_("about {count} in 10")),
    "chance.one-in": sentence(N_("about 1 in {count}")),
    "chance.least": sentence(N_("< 1 in 100")),
    "chance.most": sentence(N_("more than 19 in 20")),
    # Why a survey does not cover a use
    "open.outboard": sentence(
        N_("no body edge outboard from {from_deg} to {to_deg} of clock"),
        from_deg=deg(signed=True),
        to_deg=deg(signed=True),
    ),
    "open.inboard": sentence(
        N_("nothing measured inboard from {from_deg} to {to_deg} of clock"),
        from_deg=deg(signed=True),
        to_deg=deg(signed=True),
    ),
    "open.carried": sentence(N_("nothing measured that the knuckle or strut carries")),
    "open.bump": sentence(N_("how far the wheel can go into bump is not known")),
    "open.movement": sentence(
        N_("how this wheel moves over its travel: typical curves stand in for measured ones")
    ),
    "inside.not-measured": sentence(
        N_("inside the wheel: the back of the spokes and the barrel were not measured")
    ),
    # Notes of an answer
    "note.no-compliance": sentence(
        N_("judged without compliance in corners: this corner's was not measured")
    ),
    "note.no-bump": sentence(
        N_("judged at and below static height only: the bump limit is not known")
    ),
    "note.no-lip-to-roll": sentence(
        N_(
            "arch lips are planned to be rolled, but no lip of this survey says that it turns in "
            "far enough: judged as surveyed"
        )
    ),
    "note.lip-rolled": sentence(
        N_(
            "judged with the {spot} rolled: it turns in by {turned_in_mm}, of which {left_mm} are "
            "taken to be left (common practice, no source)"
        ),
        turned_in_mm=short_mm,
        left_mm=short_mm,
    ),
    "stop.rests-on-bump-stop": sentence(
        N_("static height is {beyond_mm} beyond the bump stop: the car would rest on it"),
        beyond_mm=mm(1),
    ),
    "stop.below-droop": sentence(
        N_("static height is {below_mm} below full droop"), below_mm=mm(1)
    ),
    "stop.no-small-change": sentence(
        N_("no small change of {source} can be followed from the tightest pose")
    ),
    "verbatim": sentence(N_("{text}")),
    # Out of reach
    "reach.short-mm": sentence(
        N_(
            "{adjuster} is needed at {needed_mm}, the parts fitted allow {least_mm} to {most_mm}: "
            "{short_mm} short. {parts} would give it."
        ),
        adjuster=capital,
        parts=capital,
        needed_mm=mm(1, signed=True),
        least_mm=mm(1, signed=True),
        most_mm=mm(1, signed=True),
        short_mm=mm(1),
    ),
}
