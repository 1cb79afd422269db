"""Sentences for a check's answer: findings, poses, chances, what is missing, what is out of reach.

Findings name the tyre or the wheel of the corner and the spot; a customer reads an owner's words
first, which never say that anything will fit.
"""

from __future__ import annotations

from django.utils.translation import gettext_noop as N_

from alignment.text.render import Sentence, capital, deg, mm, semicolons, sentence, short_mm
from fitment.text.forms import chance, clearance, per_cent_of_chance

SIGNED_MM = mm(1, signed=True)
SIGNED_DEG = deg(1, signed=True)

FINDINGS: dict[str, Sentence] = {
    # {what} is one of the parts below; {gap_mm} stands with its uncertainty
    "finding.contact": sentence(
        N_("{what} overlaps the {spot} by {gap_mm}, {pose}."), gap_mm=clearance()
    ),
    "finding.doubtful": sentence(
        N_(
            "{what} may touch the {spot}: the clearance is {gap_mm}, {touch_share} chance of "
            "touching, {pose}. To narrow this down: {reading}."
        ),
        gap_mm=clearance(),
        touch_share=per_cent_of_chance,
    ),
    "finding.tight": sentence(
        N_("{what} clears the {spot} by {gap_mm} where {needed_mm} is needed, {pose}."),
        gap_mm=clearance(needed="needed_mm"),
        needed_mm=short_mm,
    ),
    "finding.clear": sentence(
        N_("{what} clears the {spot} by {gap_mm}, {pose}."), gap_mm=clearance()
    ),
    "finding.unmeasured": sentence(
        N_("the clearance of {what} to the {spot} is not known: {why}.")
    ),
    "finding.also": sentence(N_("Also overlapping: {spots}.")),
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
    "answer.also-contact": sentence(N_("Also overlapping: {corners}.")),
    "answer.also-unmeasured": sentence(N_("Also not fully measured: {corners}.")),
    "answer.also-doubtful": sentence(N_("Also doubtful: {corners}.")),
    "answer.also-tight": sentence(N_("Also tight: {corners}.")),
    "answer.at-corners": sentence(N_("{corners}: {told}"), corners=capital, told=capital),
    "answer.corner-verdict": sentence(N_("{corners}: {verdict}."), corners=capital),
    "answer.corner-open": sentence(
        N_("{corners}: not fully measured, so not known to clear: {why}."),
        corners=capital,
        why=semicolons,
    ),
    "answer.open-besides": sentence(N_("Beyond that not measured: {why}."), why=semicolons),
    "answer.nothing-surveyed": sentence(N_("no spot was surveyed here")),
    "answer.never-surveyed": sentence(
        N_("Never surveyed, so no clearance is known there: {corners}.")
    ),
    "verdict.contact": sentence(N_("contact")),
    "verdict.unmeasured": sentence(N_("unmeasured")),
    "verdict.doubtful": sentence(N_("doubtful")),
    "verdict.tight": sentence(N_("tight")),
    "verdict.clear": sentence(N_("clear")),
    "verdict.out of reach": sentence(N_("out of reach")),
    "corner.LF": sentence(N_("front left")),
    "corner.RF": sentence(N_("front right")),
    "corner.LR": sentence(N_("rear left")),
    "corner.RR": sentence(N_("rear right")),
    "axle.front": sentence(N_("front axle")),
    "axle.rear": sentence(N_("rear axle")),
    # What an owner reads first; {spot} is what is touched, {when} a situation on the road
    "owner.certain": sentence(
        N_(
            "It will almost certainly rub the {spot} {when}: the chance on your car is "
            "{touch_share}."
        ),
        touch_share=chance,
    ),
    "owner.probable": sentence(
        N_("It will probably rub the {spot} {when}: the chance on your car is {touch_share}."),
        touch_share=chance,
    ),
    "owner.possible": sentence(
        N_("It may rub the {spot} {when}: the chance on your car is {touch_share}."),
        touch_share=chance,
    ),
    "owner.unlikely": sentence(
        N_("It is unlikely to rub the {spot} {when}: the chance on your car is {touch_share}."),
        touch_share=chance,
    ),
    "owner.very-unlikely": sentence(
        N_("It is very unlikely to rub: the chance on your car is {touch_share}."),
        touch_share=chance,
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
    "reach.mm": sentence(
        N_(
            "Out of reach: {adjuster} is needed at {needed_mm}, the parts fitted allow {least_mm} "
            "to {most_mm}, {short_mm} short. {given_by} would give it."
        ),
        needed_mm=SIGNED_MM,
        least_mm=SIGNED_MM,
        most_mm=SIGNED_MM,
        short_mm=mm(1),
        given_by=capital,
    ),
    "reach.deg": sentence(
        N_(
            "Out of reach: {adjuster} is needed at {needed_deg}, the parts fitted allow "
            "{least_deg} to {most_deg}, {short_deg} short. {given_by} would give it."
        ),
        needed_deg=SIGNED_DEG,
        least_deg=SIGNED_DEG,
        most_deg=SIGNED_DEG,
        short_deg=deg(1),
        given_by=capital,
    ),
    "reach.at": sentence(N_("{corners}: {told}"), corners=capital),
}

READINGS: dict[str, Sentence] = {
    # What to measure against each source of uncertainty
    "reading.survey radius": sentence(
        N_("measure this spot again, above all its radius from the hub axis")
    ),
    "reading.survey axial": sentence(
        N_("measure this spot again, above all its distance from the hub face")
    ),
    "reading.rolled lip": sentence(N_("measure the lip again once it is rolled")),
    "reading.section width": sentence(N_("measure the section width on this wheel")),
    "reading.overall diameter": sentence(N_("tape the tyre's circumference")),
    "reading.shoulder drop": sentence(N_("trace the tyre's shoulder")),
    "reading.wheel offset": sentence(N_("measure the wheel's offset")),
    "reading.wheel width": sentence(N_("measure this wheel between its flanges")),
    "reading.barrel": sentence(N_("measure the barrel of this wheel")),
    "reading.back of the spokes": sentence(N_("trace the back of the spokes of this wheel")),
    "reading.planned camber": sentence(N_("set the camber more closely")),
    "reading.planned toe": sentence(N_("set the toe more closely")),
    "reading.ride height": sentence(N_("read the height once the springs have settled")),
    "reading.bump limit": sentence(N_("measure bump-stop travel")),
    "reading.camber under side load": sentence(N_("measure the compliance of camber")),
    "reading.toe under side load": sentence(N_("measure the compliance of toe")),
    "reading.hub inboard under side load": sentence(
        N_("measure how far the hub goes inboard under side load")
    ),
    "reading.steering lock": sentence(N_("read full lock on turn plates")),
    "reading.camber over travel": sentence(N_("read the camber hanging and jacked up")),
    "reading.toe over travel": sentence(N_("read the toe hanging and jacked up")),
    "reading.hub sideways over travel": sentence(
        N_("read how far the hub moves sideways over its travel")
    ),
    "reading.hub fore and aft over travel": sentence(
        N_("read how far the hub moves fore and aft over its travel")
    ),
    "reading.gap on this car": sentence(
        N_("read this gap on the car itself, with the wheel that is on it")
    ),
}

SOURCES: dict[str, Sentence] = {
    "source.survey radius": sentence(N_("survey radius")),
    "source.survey axial": sentence(N_("survey axial")),
    "source.rolled lip": sentence(N_("rolled lip")),
    "source.section width": sentence(N_("section width")),
    "source.overall diameter": sentence(N_("overall diameter")),
    "source.shoulder drop": sentence(N_("shoulder drop")),
    "source.wheel offset": sentence(N_("wheel offset")),
    "source.wheel width": sentence(N_("wheel width")),
    "source.barrel": sentence(N_("barrel")),
    "source.back of the spokes": sentence(N_("back of the spokes")),
    "source.planned camber": sentence(N_("planned camber")),
    "source.planned toe": sentence(N_("planned toe")),
    "source.ride height": sentence(N_("ride height")),
    "source.bump limit": sentence(N_("bump limit")),
    "source.camber under side load": sentence(N_("compliance of camber")),
    "source.toe under side load": sentence(N_("compliance of toe")),
    "source.hub inboard under side load": sentence(N_("compliance of the hub, inboard")),
    "source.steering lock": sentence(N_("full lock")),
    "source.camber over travel": sentence(N_("camber over travel")),
    "source.toe over travel": sentence(N_("toe over travel")),
    "source.hub sideways over travel": sentence(N_("hub sideways over travel")),
    "source.hub fore and aft over travel": sentence(N_("hub fore and aft over travel")),
    "source.gap reading": sentence(N_("gap reading")),
    "source.height as read": sentence(N_("height as read")),
    "source.present tyre": sentence(N_("present tyre")),
    "source.from car to car": sentence(N_("from car to car")),
    "source.mostly": sentence(N_("mostly {source}, {part_mm}"), part_mm=mm(1)),
}

MESSAGES = FINDINGS | ANSWERS | READINGS | SOURCES
