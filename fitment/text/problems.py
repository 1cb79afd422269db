"""Why an order cannot be checked, said to its reader: the shop, or a customer on a quote.

Each function takes the reader's speech last, so that the rest can be bound beforehand.
"""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.functional import Promise

from alignment.text.render import Reader
from common.corners import AXLE_NAMES, CORNER_NAMES
from fitment.text.labels import KIND_WORDS, adjuster_text, camber_method_text
from shop.languages import Speech


def nothing_chosen(speech: Speech) -> str:
    return speech.say("Neither wheels nor settings are chosen for this order.")


def wheels_alone(axle: str, speech: Speech) -> str:
    return speech.say(
        "The {axle} has wheels but no planned settings.", axle=speech.say(AXLE_NAMES[axle])
    )


def settings_alone(axle: str, speech: Speech) -> str:
    return speech.say(
        "The {axle} has planned settings but no wheels: choose the ones that will be on the "
        "car, even if they stay.",
        axle=speech.say(AXLE_NAMES[axle]),
    )


def no_use(use: str | Promise, speech: Speech) -> str:
    """``use`` is its label."""
    return speech.say("No margins are set up for {use} use.", use=speech.within(speech.say(use)))


def senseless_camber_method(
    camber_by: str, axle: str, kind: str, offered: Sequence[str], speech: Speech
) -> str:
    names = [camber_method_text(name, Reader(speech)) for name in offered]
    return speech.say(
        "Camber by {camber_method} is planned for the {axle}, which is a {kind} corner "
        "and offers: {offered}.",
        camber_method=camber_method_text(camber_by, Reader(speech)),
        axle=speech.say(AXLE_NAMES[axle]),
        kind=_kind(kind, speech),
        offered=", ".join(names) or speech.say("nothing that sets camber"),
    )


def senseless_adjuster(adjuster: str, axle: str, kind: str, speech: Speech) -> str:
    return speech.say(
        "The {axle} plans “{adjuster}”, which a {kind} corner does not have.",
        axle=speech.say(AXLE_NAMES[axle]),
        adjuster=adjuster_text(adjuster, Reader(speech)),
        kind=_kind(kind, speech),
    )


def senseless_part(part: str, adjuster: str, axle: str, kind: str, speech: Speech) -> str:
    return speech.say(
        "The part “{part}” sets “{adjuster}”, which the {axle}, a {kind} corner, does not have.",
        part=part,
        adjuster=adjuster_text(adjuster, Reader(speech)),
        axle=speech.say(AXLE_NAMES[axle]),
        kind=_kind(kind, speech),
    )


def wrong_figure(record: str, corner: str, speech: Speech) -> str:
    """``record`` names a field of a check file, which other languages have no words for."""
    if speech.language.is_english:
        return record
    if corner not in CORNER_NAMES:
        return speech.say("Something that was entered has to be corrected first.")
    return speech.say(
        "Something that was entered for the wheel {corner} has to be corrected first.",
        corner=speech.say(CORNER_NAMES[corner]),
    )


def not_yet(why: str, speech: Speech) -> str:
    return speech.say("The clearance cannot be checked yet. {why}", why=why)


def no_car_model(speech: Speech) -> str:
    return speech.say(
        "No car of this kind has been measured: the vehicle belongs to no car model, so its "
        "clearance is not known."
    )


def out_of_date(speech: Speech) -> str:
    return speech.say(
        "The clearance check is out of date: wheels, tyres, settings, parts, survey, use or the "
        "way of computing changed since."
    )


def not_checked(speech: Speech) -> str:
    return speech.say("The clearance has not been checked.")


def not_needed(speech: Speech) -> str:
    return speech.say("This job needs no clearance check.")


def _kind(kind: str, speech: Speech) -> str:
    return speech.may_say(KIND_WORDS.get(kind, kind))
