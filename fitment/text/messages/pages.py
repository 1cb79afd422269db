"""Sentences for the pages of a corner and a car: effects, hub, tyre, both sides compared."""

from __future__ import annotations

from django.utils.translation import gettext_noop as N_

from alignment.text.render import (
    Sentence,
    deg,
    mm,
    number,
    per_cent,
    sentence,
    short_deg,
    short_mm,
)

EFFECTS: dict[str, Sentence] = {
    "effect.does": sentence(N_("{change} {does}")),
    "effect.gains": sentence(N_("gains {by_mm} at the {spot}"), by_mm=mm(1)),
    "effect.costs": sentence(N_("costs {by_mm} at the {spot}"), by_mm=mm(1)),
    "effect.camber-negative": sentence(
        N_("{effect}; camber becomes {by_deg} more negative"), by_deg=deg(2)
    ),
    "effect.camber-positive": sentence(
        N_("{effect}; camber becomes {by_deg} more positive"), by_deg=deg(2)
    ),
    "hand.turn": sentence(N_("one turn ({size})")),
    "hand.shim": sentence(N_("one shim ({size})")),
    "hand.mark": sentence(N_("one mark ({size})")),
    "hand.mm": sentence(N_("{size_mm}"), size_mm=short_mm),
    "hand.deg": sentence(N_("{size_deg}"), size_deg=short_deg),
    "change-more.top_mount_in_mm": sentence(N_("top mount {by} inboard")),
    "change-less.top_mount_in_mm": sentence(N_("top mount {by} outboard")),
    "change-more.top_mount_back_mm": sentence(N_("top mount {by} rearward")),
    "change-less.top_mount_back_mm": sentence(N_("top mount {by} forward")),
    "change-more.lower_arm_out_mm": sentence(N_("lower ball joint {by} outboard")),
    "change-less.lower_arm_out_mm": sentence(N_("lower ball joint {by} inboard")),
    "change-more.upper_arm_in_mm": sentence(N_("upper ball joint {by} inboard")),
    "change-less.upper_arm_in_mm": sentence(N_("upper ball joint {by} outboard")),
    "change-more.knuckle_camber_deg": sentence(N_("knuckle turned {by} top outboard")),
    "change-less.knuckle_camber_deg": sentence(N_("knuckle turned {by} top inboard")),
    "change-more.ride_height_mm": sentence(N_("car {by} higher")),
    "change-less.ride_height_mm": sentence(N_("car {by} lower")),
    "change-more.bump_stop_mm": sentence(N_("{by} more packer")),
    "change-less.bump_stop_mm": sentence(N_("{by} less packer")),
    "change-more.camber": sentence(N_("camber {by} more positive")),
    "change-less.camber": sentence(N_("camber {by} more negative")),
    "change-more.spacer": sentence(N_("{by} of spacer")),
    "change-less.spacer": sentence(N_("{by} less spacer")),
    "change-more.wheel offset": sentence(N_("a wheel with {by} more offset")),
    "change-less.wheel offset": sentence(N_("a wheel with {by} less offset")),
    "change-more.section width": sentence(N_("a tyre {by} wider")),
    "change-less.section width": sentence(N_("a tyre {by} narrower")),
    "change-more.overall diameter": sentence(N_("a tyre {by} taller")),
    "change-less.overall diameter": sentence(N_("a tyre {by} lower")),
    "change-more.rod": sentence(N_("link “{name}” {by} longer")),
    "change-less.rod": sentence(N_("link “{name}” {by} shorter")),
}

HUB: dict[str, Sentence] = {
    "hub.hub-fore-aft": sentence(N_("Hub, fore and aft")),
    "hub.hub-sideways": sentence(N_("Hub, sideways")),
    "hub.track": sentence(N_("Track, this side")),
    "hub.caster": sentence(N_("Caster")),
    "hub.inclination": sentence(N_("Steering axis inclination")),
    "hub.trail": sentence(N_("Trail")),
    "hub.scrub": sentence(N_("Scrub radius")),
    "hub.angle": sentence(N_("{angle_deg}"), angle_deg=deg(2, signed=True)),
    "hub.as-surveyed": sentence(N_("as surveyed")),
    "hub.forward": sentence(N_("{by_mm} forward"), by_mm=mm(1)),
    "hub.rearward": sentence(N_("{by_mm} rearward"), by_mm=mm(1)),
    "hub.outboard": sentence(N_("{by_mm} outboard"), by_mm=mm(1)),
    "hub.inboard": sentence(N_("{by_mm} inboard"), by_mm=mm(1)),
    "hub.wider": sentence(N_("{by_mm} wider"), by_mm=mm(1)),
    "hub.narrower": sentence(N_("{by_mm} narrower"), by_mm=mm(1)),
    "hub.contact-behind": sentence(N_("contact {by_mm} behind the steering axis"), by_mm=mm(1)),
    "hub.contact-ahead": sentence(N_("contact {by_mm} ahead of the steering axis"), by_mm=mm(1)),
    "hub.centre-outboard": sentence(
        N_("wheel centre {by_mm} outboard of the steering axis"), by_mm=mm(1)
    ),
    "hub.centre-inboard": sentence(
        N_("wheel centre {by_mm} inboard of the steering axis"), by_mm=mm(1)
    ),
}

TYRES: dict[str, Sentence] = {
    "tyre.size": sentence(N_("{width_mm} wide, {across_mm} tall"), width_mm=mm(0), across_mm=mm(0)),
    "tyre.new": sentence(N_("new")),
    "tyre.standing": sentence(N_("standing")),
    "tyre.largest": sentence(N_("the largest that the standard allows")),
    "tyre.worn": sentence(N_("{worn_mm} worn"), worn_mm=short_mm),
    "tyre.grown": sentence(N_("grown {growth_mm} at speed"), growth_mm=short_mm),
    "tyre.stretched": sentence(
        N_(
            "Stretched: the rim is {rim_mm} over its flanges, the tyre {width_mm} wide. The rim "
            "stands out {beyond_mm} on each side and is what touches first."
        ),
        rim_mm=mm(0),
        width_mm=mm(0),
        beyond_mm=mm(0),
    ),
    "tyre-why.worn": sentence(N_("from 8 mm of tread to 2 mm: common practice, no source")),
    "tyre-why.grown": sentence(N_("judgement, no source")),
    "tyre-why.largest": sentence(N_("4 % wider and taller: UN R30, 6.1.4 and 6.1.5, from memory")),
}

CAR: dict[str, Sentence] = {
    "figure.camber": sentence(N_("camber")),
    "figure.toe": sentence(N_("toe, each wheel")),
    "figure.caster": sentence(N_("caster")),
    "figure.trail": sentence(N_("trail")),
    "figure.clearance": sentence(N_("clearance, {spot}")),
    "figure.total-toe": sentence(N_("total toe")),
    "figure.cross-camber": sentence(N_("cross camber")),
    "figure.cross-caster": sentence(N_("cross caster")),
    "figure.thrust-angle": sentence(N_("thrust angle")),
    "figure-of.both": sentence(N_("left and right")),
    "figure-of.difference": sentence(N_("left minus right")),
    "figure-of.half-difference": sentence(N_("half of left minus right toe, + to the right")),
    "tyres-of.LF": sentence(N_("the front left tyre")),
    "tyres-of.RF": sentence(N_("the front right tyre")),
    "tyres-of.LR": sentence(N_("the rear left tyre")),
    "tyres-of.RR": sentence(N_("the rear right tyre")),
    "tyres-of.front": sentence(N_("the front tyres")),
    "tyres-of.rear": sentence(N_("the rear tyres")),
    "tyres.off-ratio": sentence(
        N_(
            "Front to rear circumference {ratio}, originally {wanted}: {off_share} off, and the "
            "drive joins them: {most_share} at most ({source})."
        ),
        ratio=number(4),
        wanted=number(4),
        off_share=per_cent(1),
        most_share=per_cent(1),
    ),
    "tyres.apart": sentence(
        N_(
            "The circumference of {larger} is {apart_share} more than that of {smaller}, and the "
            "drive joins them: {most_share} at most ({source})."
        ),
        apart_share=per_cent(1),
        most_share=per_cent(1),
    ),
}

MESSAGES = EFFECTS | HUB | TYRES | CAR
