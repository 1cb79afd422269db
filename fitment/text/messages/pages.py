"""Sentences for the pages of a corner and a car: effects, hub, tyre, both sides compared."""

from __future__ import annotations

from alignment.text.render import (
    Sentence,
    commas,
    deg,
    mm,
    number,
    per_cent,
    sentence,
    short_deg,
    short_mm,
)

ROAD_TESTS: dict[str, Sentence] = {
    "road-test.no-contact": sentence(
        "The clearance check predicts contact, {corner}, {spot}: {overlap_mm} too close. The road "
        "test found none.",
        overlap_mm=mm(0),
    ),
    "road-test.touched": sentence(
        "Contact, {corner}, {spot}. The clearance check predicts {gap_mm} of clearance there.",
        gap_mm=mm(0),
    ),
    "road-test.unknown-spot": sentence(
        "Contact, {corner}, {spot}. The survey of this corner does not have that spot, and the "
        "clearance check says that the corner clears."
    ),
    "road-test.gap": sentence(
        "Gap of {read_mm}, {corner}, {spot}. The clearance check predicts {gap_mm} at the "
        "tightest moment of the use, and a gap read standing cannot be smaller.",
        read_mm=mm(0),
        gap_mm=mm(0),
    ),
}

EFFECTS: dict[str, Sentence] = {
    "effect.does": sentence("{change} {does}"),
    "effect.gains": sentence("gains {by_mm} at the {spot}", by_mm=mm(1)),
    "effect.costs": sentence("costs {by_mm} at the {spot}", by_mm=mm(1)),
    "effect.camber-negative": sentence(
        "{effect}; camber becomes {by_deg} more negative", by_deg=deg(2)
    ),
    "effect.camber-positive": sentence(
        "{effect}; camber becomes {by_deg} more positive", by_deg=deg(2)
    ),
    "hand.turn": sentence("one turn ({size})"),
    "hand.shim": sentence("one shim ({size})"),
    "hand.mark": sentence("one mark ({size})"),
    "hand.mm": sentence("{size_mm}", size_mm=short_mm),
    "hand.deg": sentence("{size_deg}", size_deg=short_deg),
    "change-more.top_mount_in_mm": sentence("top mount {by} inboard"),
    "change-less.top_mount_in_mm": sentence("top mount {by} outboard"),
    "change-more.top_mount_back_mm": sentence("top mount {by} rearward"),
    "change-less.top_mount_back_mm": sentence("top mount {by} forward"),
    "change-more.lower_arm_out_mm": sentence("lower ball joint {by} outboard"),
    "change-less.lower_arm_out_mm": sentence("lower ball joint {by} inboard"),
    "change-more.upper_arm_in_mm": sentence("upper ball joint {by} inboard"),
    "change-less.upper_arm_in_mm": sentence("upper ball joint {by} outboard"),
    "change-more.knuckle_camber_deg": sentence("knuckle turned {by} top outboard"),
    "change-less.knuckle_camber_deg": sentence("knuckle turned {by} top inboard"),
    "change-more.ride_height_mm": sentence("car {by} higher"),
    "change-less.ride_height_mm": sentence("car {by} lower"),
    "change-more.bump_stop_mm": sentence("{by} more packer"),
    "change-less.bump_stop_mm": sentence("{by} less packer"),
    "change-more.camber": sentence("camber {by} more positive"),
    "change-less.camber": sentence("camber {by} more negative"),
    "change-more.spacer": sentence("{by} of spacer"),
    "change-less.spacer": sentence("{by} less spacer"),
    "change-more.wheel offset": sentence("a wheel with {by} more offset"),
    "change-less.wheel offset": sentence("a wheel with {by} less offset"),
    "change-more.section width": sentence("a tyre {by} wider"),
    "change-less.section width": sentence("a tyre {by} narrower"),
    "change-more.overall diameter": sentence("a tyre {by} taller"),
    "change-less.overall diameter": sentence("a tyre {by} lower"),
    "change-more.rod": sentence("link “{name}” {by} longer"),
    "change-less.rod": sentence("link “{name}” {by} shorter"),
}

HUB: dict[str, Sentence] = {
    "hub.hub-fore-aft": sentence("Hub, fore and aft"),
    "hub.hub-sideways": sentence("Hub, sideways"),
    "hub.track": sentence("Track, this side"),
    "hub.caster": sentence("Caster"),
    "hub.inclination": sentence("Steering axis inclination"),
    "hub.trail": sentence("Trail"),
    "hub.scrub": sentence("Scrub radius"),
    "hub.angle": sentence("{angle_deg}", angle_deg=deg(2, signed=True)),
    "hub.as-surveyed": sentence("as surveyed"),
    "hub.forward": sentence("{by_mm} forward", by_mm=mm(1)),
    "hub.rearward": sentence("{by_mm} rearward", by_mm=mm(1)),
    "hub.outboard": sentence("{by_mm} outboard", by_mm=mm(1)),
    "hub.inboard": sentence("{by_mm} inboard", by_mm=mm(1)),
    "hub.wider": sentence("{by_mm} wider", by_mm=mm(1)),
    "hub.narrower": sentence("{by_mm} narrower", by_mm=mm(1)),
    "hub.contact-behind": sentence("contact {by_mm} behind the steering axis", by_mm=mm(1)),
    "hub.contact-ahead": sentence("contact {by_mm} ahead of the steering axis", by_mm=mm(1)),
    "hub.centre-outboard": sentence(
        "wheel centre {by_mm} outboard of the steering axis", by_mm=mm(1)
    ),
    "hub.centre-inboard": sentence(
        "wheel centre {by_mm} inboard of the steering axis", by_mm=mm(1)
    ),
}

TYRES: dict[str, Sentence] = {
    "tyre.size": sentence("{width_mm} wide, {across_mm} tall", width_mm=mm(0), across_mm=mm(0)),
    "tyre.state": sentence("{parts}", parts=commas),
    "tyre.new": sentence("new"),
    "tyre.standing": sentence("standing"),
    "tyre.largest": sentence("the largest that the standard allows"),
    "tyre.worn": sentence("{worn_mm} worn", worn_mm=short_mm),
    "tyre.grown": sentence("grown {growth_mm} at speed", growth_mm=short_mm),
    "tyre.stretched": sentence(
        "Stretched: the rim is {rim_mm} over its flanges, the tyre {width_mm} wide. The rim "
        "stands out {beyond_mm} on each side and is what touches first.",
        rim_mm=mm(0),
        width_mm=mm(0),
        beyond_mm=mm(0),
    ),
    "tyre-why.worn": sentence("from 8 mm of tread to 2 mm: common practice, no source"),
    "tyre-why.grown": sentence("judgement, no source"),
    "tyre-why.largest": sentence("4 % wider and taller: UN R30, 6.1.4 and 6.1.5, from memory"),
    "tyre-why.largest-rib": sentence(
        "4 % wider and taller, and 8 mm for the protective rib: UN R30, 6.1.4 and 6.1.5, from "
        "memory"
    ),
    "tyre-why.largest-snow": sentence(
        "4 % wider and taller, and 1 % of diameter for a snow tyre: UN R30, 6.1.4 and 6.1.5, from "
        "memory"
    ),
    "tyre-why.largest-rib-snow": sentence(
        "4 % wider and taller, 8 mm for the protective rib and 1 % of diameter for a snow tyre: "
        "UN R30, 6.1.4 and 6.1.5, from memory"
    ),
}

CAR: dict[str, Sentence] = {
    "figure.camber": sentence("camber"),
    "figure.toe": sentence("toe, each wheel"),
    "figure.caster": sentence("caster"),
    "figure.trail": sentence("trail"),
    "figure.clearance": sentence("clearance, {spot}"),
    "figure.total-toe": sentence("total toe"),
    "figure.cross-camber": sentence("cross camber"),
    "figure.cross-caster": sentence("cross caster"),
    "figure.thrust-angle": sentence("thrust angle"),
    "figure-of.both": sentence("left and right"),
    "figure-of.difference": sentence("left minus right"),
    "figure-of.half-difference": sentence("half of left minus right toe, + to the right"),
    "tyres-of.LF": sentence("the front left tyre"),
    "tyres-of.RF": sentence("the front right tyre"),
    "tyres-of.LR": sentence("the rear left tyre"),
    "tyres-of.RR": sentence("the rear right tyre"),
    "tyres-of.front": sentence("the front tyres"),
    "tyres-of.rear": sentence("the rear tyres"),
    "tyres.off-ratio": sentence(
        "Front to rear circumference {ratio}, originally {wanted}: {off_share} off, and the "
        "drive joins them: {most_share} at most ({source}).",
        ratio=number(4),
        wanted=number(4),
        off_share=per_cent(1),
        most_share=per_cent(1),
    ),
    "tyres.apart": sentence(
        "The circumference of {larger} is {apart_share} more than that of {smaller}, and the "
        "drive joins them: {most_share} at most ({source}).",
        apart_share=per_cent(1),
        most_share=per_cent(1),
    ),
}

MESSAGES = ROAD_TESTS | EFFECTS | HUB | TYRES | CAR
