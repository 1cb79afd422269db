"""The product's own words, each with what it means here: a word, then a sentence or two."""

from __future__ import annotations

from django.utils.translation import gettext_noop as _

OWN_WORDS: dict[str, tuple[str, str]] = {
    "adjustments": (
        _("Adjustments"),
        _("What a hand moves on the car to reach the targets: so many turns, shims or marks."),
    ),
    "camber set with": (
        _("Camber set with"),
        _(
            "The part that gives the camber: top mount, lower or upper arm, knuckle bolts or a "
            "link. It decides how far the wheel moves in or out with it."
        ),
    ),
    "car model": (
        _("Car model"),
        _(
            "One body with one suspension, on whichever badge. What is measured on one car of it "
            "serves all."
        ),
    ),
    "clearance": (
        _("Clearance"),
        _(
            "The least distance between the tyre or rim and what it could touch, over all travel "
            "and steering that the use asks for."
        ),
    ),
    "compliance": (
        _("Compliance"),
        _("How far rubber bushes and the tyre yield under load; the wheel comes that much closer."),
    ),
    "effects": (
        _("Effects"),
        _("What one turn, shim or millimetre gains at one spot, and what it costs at another."),
    ),
    "fitment table": (
        _("Fitment table"),
        _(
            "Published sizes and conditions for a car model, with their source, to hold a job "
            "against."
        ),
    ),
    "options": (
        _("Options"),
        _("Changes of the job that were tried by calculation; each clears or does not."),
    ),
    "packer": (
        _("Packer"),
        _(
            "A ring on the damper rod under the bump stop: the wheel stops rising that much "
            "earlier."
        ),
    ),
    "rule": (
        _("Decision"),
        _(
            "A check that does not clear stops parts and booking until a manager gives a reason; "
            "for some the customer signs as well."
        ),
    ),
    "setting": (
        _("Setting"),
        _(
            "The suspension with camber, toe, height and adjusters as they are planned for this "
            "job."
        ),
    ),
    "spot": (
        _("Spot"),
        _(
            "A named place on the car that the wheel could touch, such as the arch lip or the "
            "strut."
        ),
    ),
    "this car's gaps": (
        _("This car's gaps"),
        _("Gaps that were read on this very car. They correct what the survey of its model says."),
    ),
    "try-out": (
        _("Try-out"),
        _(
            "A wheel, tyre or setting changed on screen, with its clearance at once; nothing is "
            "stored until it is taken over."
        ),
    ),
    "uncertainty": (
        _("Uncertainty"),
        _(
            "The figure after ±: how far the answer may be off, as one standard deviation. It "
            "comes from every measurement that the answer rests on."
        ),
    ),
    "use": (
        _("Use"),
        _(
            "What the car is driven for. It says how far the wheel rises and how far it steers "
            "at the same time."
        ),
    ),
    "work": (
        _("Next act"),
        _("The one step that the order waits for, and whose step it is."),
    ),
}
