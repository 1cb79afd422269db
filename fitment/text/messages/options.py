"""Sentences for options that clear: what they change, what they leave, and what was ruled out."""

from __future__ import annotations

from alignment.text.render import (
    Sentence,
    changed_mm,
    commas,
    deg,
    mm,
    plural,
    sentence,
    setting_deg,
    short_mm,
)
from fitment.text.forms import clearance

CHANGES: dict[str, Sentence] = {
    "option.changes": sentence("{parts}", parts=commas),
    "option.as-planned": sentence("as planned"),
    "change.instead": sentence("{new} in place of {now}"),
    "change.camber": sentence("camber {camber_deg}", camber_deg=setting_deg),
    "change.camber-instead": sentence(
        "camber {camber_deg} in place of {now_deg}",
        camber_deg=setting_deg,
        now_deg=setting_deg,
    ),
    "change.camber-by": sentence("{camber}, set with {by}"),
    "change.same-camber-by": sentence("same camber, set with {by}"),
    "change.lips": sentence("arch lips rolled"),
    "change.packer": sentence("a bump packer of {new_mm}", new_mm=changed_mm),
    "change.packer-instead": sentence(
        "a bump packer of {new_mm} in place of {now_mm}", new_mm=changed_mm, now_mm=changed_mm
    ),
    "change.no-packer": sentence("no bump packer"),
    "change.spacer": sentence("a spacer of {new_mm}", new_mm=changed_mm),
    "change.spacer-instead": sentence(
        "a spacer of {new_mm} in place of {now_mm}", new_mm=changed_mm, now_mm=changed_mm
    ),
    "change.no-spacer": sentence("no spacer"),
    "change.another": sentence("another {size}"),
    "change.another-wide": sentence("another {size}, {width_mm} wide", width_mm=mm(0)),
    "named-size": sentence("{name} {size}"),
    "height.as-surveyed": sentence("height as surveyed"),
    "height.raised": sentence("raised {by_mm}", by_mm=changed_mm),
    "height.lowered": sentence("lowered {by_mm}", by_mm=changed_mm),
}

OPTIONS: dict[str, Sentence] = {
    "option.tightest": sentence(
        "Tightest at the {spot}: the clearance is {gap_mm} where {needed_mm} is needed, {pose}.",
        gap_mm=clearance(),
        needed_mm=short_mm,
    ),
    "option.nothing-measured": sentence("Nothing there was measured: no clearance is known."),
    "option.nominal": sentence(
        "{size} is a standard size by its marking; measure a real tyre of it before it is mounted."
    ),
    "option.not-known": sentence("Not known: {limits}.", limits=commas),
    "option.broken": sentence("No option here meets this rule: {rule}."),
    "option.no-part-known": sentence(
        "No part on record changes camber this way: its reach is not known."
    ),
    "option.takes-part": sentence("Takes {name}, {number}, which is not on the order yet."),
    "option.no-part-reaches-mm": sentence(
        "No part of the catalogue reaches that far: {needed_mm} is needed.",
        needed_mm=mm(1, signed=True),
    ),
    "option.no-part-reaches-deg": sentence(
        "No part of the catalogue reaches that far: {needed_deg} is needed.",
        needed_deg=deg(1, signed=True),
    ),
    "option.not-promised": sentence(
        "The fitment table does not promise this ({table}): {what}: asked {asked}, here {has}."
    ),
    "option.fails-mounting": sentence("Fails a mounting check: {title}. {found}"),
    "aim.least change": sentence("Least change"),
    "aim.least cost": sentence("Least cost"),
    "aim.most clearance": sentence("Most clearance"),
    "aim.widest tyre": sentence("Widest tyre"),
    "option.same-camber": sentence("camber set with {by}"),
    "option.kept-as-is": sentence("as it is"),
    "option.as-is": sentence("{wheels}"),
    "option.as-is-rolled": sentence("{wheels}, arch lips rolled"),
    "limit.class-height": sentence("the height hub to lip, which the class limits: “{rule}”"),
    "limit.approved-rims": sentence("which rims the tyre is approved for"),
    "limit.mounting-load-index": sentence("load index, by the mounting checks"),
    "limit.mounting-speed-symbol": sentence("speed symbol, by the mounting checks"),
    "limit.mounting-diameter": sentence("overall diameter, by the mounting checks"),
    "limit.mounting-offset": sentence("offset, track and spacers, by the mounting checks"),
    "limit.pose-beyond-linkage": sentence("a pose beyond the linkage"),
}

RULED_OUT: dict[str, Sentence] = {
    "ruled-out.counted": sentence("{count} × {why}"),
    "ruled-out.touches": sentence("would overlap the {spot}"),
    "ruled-out.too-close": sentence("too close to the {spot} to be sure"),
    "ruled-out.not-measured": sentence("not measured well enough ({what})"),
    "ruled-out.out-of-reach": sentence("beyond what the parts allow ({adjuster})"),
    "ruled-out.beyond-linkage": sentence("the suspension cannot take the setting"),
    "ruled-out.on-stops": sentence("the car would rest on its stops"),
    "ruled-out.camber": sentence(
        "camber of {camber_deg} is outside the target range", camber_deg=deg(1, signed=True)
    ),
    "ruled-out.no-section": sentence("{size} cannot be mounted on the wheel"),
    "ruled-out.rim-diameter": sentence("a tyre for a rim of {rim_in} on another wheel"),
    "ruled-out.rim-width": sentence("the tyre is not approved for a rim {width_in} wide"),
    "ruled-out.diameter": sentence(
        "overall diameter of {across_mm} is outside the limits", across_mm=mm(0)
    ),
    "ruled-out.width": sentence(
        "section width of {width_mm} is outside the limits", width_mm=mm(0)
    ),
    "ruled-out.load": sentence("load index {index} does not carry the car"),
    "ruled-out.wheel-load": sentence("a wheel for {load_kg} does not carry the car"),
    "ruled-out.speed": sentence("speed symbol {symbol} is too slow for the car"),
    "ruled-out.budget": sentence("dearer than the budget"),
    "ruled-out.rule": sentence("not allowed: {rule}"),
    "ruled-out.no-room": sentence("rolling the arch lips would gain no clearance"),
    "ruled-out.rim-unknown": sentence(
        "cannot say: which rims {size} is approved for is not recorded, and the standard’s table "
        "does not have it"
    ),
    "ruled-out.load-index": sentence("load index {index} is less than was asked for"),
    "ruled-out.marking-unknown": sentence("cannot say: {what} is not known"),
    "ruled-out.price-unknown": sentence(
        "cannot say: the price is not known, and there is a budget"
    ),
    "ruled-out.no-better": sentence("no better than what is offered, so not checked"),
    "ruled-out.others": plural("{fell} for {count} more reason", "{fell} for {count} more reasons"),
    "ruled-out.not-looked-at": sentence("not looked at"),
}

MESSAGES = CHANGES | OPTIONS | RULED_OUT
