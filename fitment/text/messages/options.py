"""Sentences for options that clear: what they change, what they leave, and what was ruled out."""

from __future__ import annotations

from django.utils.translation import gettext_noop as N_

from alignment.text.render import (
    Sentence,
    changed_mm,
    commas,
    deg,
    mm,
    sentence,
    setting_deg,
    short_mm,
)
from fitment.text.forms import clearance

CHANGES: dict[str, Sentence] = {
    "option.changes": sentence(N_("{parts}"), parts=commas),
    "option.as-planned": sentence(N_("as planned")),
    "change.instead": sentence(N_("{new} in place of {now}")),
    "change.camber": sentence(N_("camber {camber_deg}"), camber_deg=setting_deg),
    "change.camber-instead": sentence(
        N_("camber {camber_deg} in place of {now_deg}"),
        camber_deg=setting_deg,
        now_deg=setting_deg,
    ),
    "change.camber-by": sentence(N_("{camber}, set with {by}")),
    "change.same-camber-by": sentence(N_("same camber, set with {by}")),
    "change.lips": sentence(N_("arch lips rolled")),
    "change.packer": sentence(N_("a bump packer of {new_mm}"), new_mm=changed_mm),
    "change.packer-instead": sentence(
        N_("a bump packer of {new_mm} in place of {now_mm}"), new_mm=changed_mm, now_mm=changed_mm
    ),
    "change.no-packer": sentence(N_("no bump packer")),
    "change.spacer": sentence(N_("a spacer of {new_mm}"), new_mm=changed_mm),
    "change.spacer-instead": sentence(
        N_("a spacer of {new_mm} in place of {now_mm}"), new_mm=changed_mm, now_mm=changed_mm
    ),
    "change.no-spacer": sentence(N_("no spacer")),
    "change.another": sentence(N_("another {size}")),
    "change.another-wide": sentence(N_("another {size}, {width_mm} wide"), width_mm=mm(0)),
    "named-size": sentence(N_("{name} {size}")),
    "height.as-surveyed": sentence(N_("height as surveyed")),
    "height.raised": sentence(N_("raised {by_mm}"), by_mm=changed_mm),
    "height.lowered": sentence(N_("lowered {by_mm}"), by_mm=changed_mm),
}

OPTIONS: dict[str, Sentence] = {
    "option.tightest": sentence(
        N_(
            "Tightest at the {spot}: the clearance is {gap_mm} where {needed_mm} is needed, {pose}."
        ),
        gap_mm=clearance(),
        needed_mm=short_mm,
    ),
    "option.nominal": sentence(
        N_(
            "{size} is a standard size by its marking; measure a real tyre of it before it is "
            "mounted."
        )
    ),
    "option.not-known": sentence(N_("Not known: {limits}."), limits=commas),
    "option.broken": sentence(N_("No option here meets this rule: {rule}.")),
    "option.no-part-known": sentence(
        N_("No part on record changes camber this way: its reach is not known.")
    ),
    "option.takes-part": sentence(N_("Takes {name}, {number}, which is not on the order yet.")),
    "option.no-part-reaches-mm": sentence(
        N_("No part of the catalogue reaches that far: {needed_mm} is needed."),
        needed_mm=mm(1, signed=True),
    ),
    "option.no-part-reaches-deg": sentence(
        N_("No part of the catalogue reaches that far: {needed_deg} is needed."),
        needed_deg=deg(1, signed=True),
    ),
    "option.fails-mounting": sentence(N_("Fails a mounting check: {title}. {found}")),
    "aim.least change": sentence(N_("Least change")),
    "aim.least cost": sentence(N_("Least cost")),
    "aim.most room": sentence(N_("Most clearance")),
    "aim.widest tyre": sentence(N_("Widest tyre")),
    "option.same-camber": sentence(N_("camber set with {by}")),
    "option.kept-as-is": sentence(N_("as it is")),
    "option.as-is": sentence(N_("{wheels}")),
    "option.as-is-rolled": sentence(N_("{wheels}, arch lips rolled")),
    "limit.class-height": sentence(N_("the height hub to lip, which the class limits: “{rule}”")),
    "limit.approved-rims": sentence(N_("which rims the tyre is approved for")),
    "limit.pose-beyond-linkage": sentence(N_("a pose beyond the linkage")),
}

RULED_OUT: dict[str, Sentence] = {
    "ruled-out.counted": sentence(N_("{count} × {why}")),
    "ruled-out.touches": sentence(N_("would overlap the {spot}")),
    "ruled-out.too-close": sentence(N_("too close to the {spot} to be sure")),
    "ruled-out.not-measured": sentence(N_("not measured well enough ({what})")),
    "ruled-out.out-of-reach": sentence(N_("beyond what the parts allow ({adjuster})")),
    "ruled-out.beyond-linkage": sentence(N_("the suspension cannot take the setting")),
    "ruled-out.on-stops": sentence(N_("the car would rest on its stops")),
    "ruled-out.camber": sentence(
        N_("camber of {camber_deg} is outside the target range"), camber_deg=deg(1, signed=True)
    ),
    "ruled-out.no-section": sentence(N_("{size} cannot be mounted on the wheel")),
    "ruled-out.rim-diameter": sentence(N_("a tyre for a rim of {rim_in} on another wheel")),
    "ruled-out.rim-width": sentence(N_("the tyre is not approved for a rim {width_in} wide")),
    "ruled-out.diameter": sentence(
        N_("overall diameter of {across_mm} is outside the limits"), across_mm=mm(0)
    ),
    "ruled-out.width": sentence(
        N_("section width of {width_mm} is outside the limits"), width_mm=mm(0)
    ),
    "ruled-out.load": sentence(N_("load index {index} does not carry the car")),
    "ruled-out.wheel-load": sentence(N_("a wheel for {load_kg} does not carry the car")),
    "ruled-out.speed": sentence(N_("speed symbol {symbol} is too slow for the car")),
    "ruled-out.budget": sentence(N_("dearer than the budget")),
    "ruled-out.rule": sentence(N_("not allowed: {rule}")),
    "ruled-out.no-room": sentence(N_("rolling the arch lips would gain no clearance")),
    "ruled-out.not-looked-at": sentence(N_("not looked at, since enough was found before them")),
}

MESSAGES = CHANGES | OPTIONS | RULED_OUT
