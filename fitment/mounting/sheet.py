"""What the spec sheet tells of wheels, and of mounting checks as they stood on record."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from reportlab.platypus import Spacer

from alignment.text.render import customer
from common.verdicts import Outcome
from fitment.engine.mounting.rule import Result
from fitment.job.fitted import fitted_on
from fitment.models import MountingCheck
from fitment.mounting.services.record import mounting_state
from fitment.mounting.text import barring_first, counted, joined
from fitment.text.render import sentences
from shop.languages import Speech
from shop.paper.pdf_styles import Styles, heading, ruled_table, speech_on, text

if TYPE_CHECKING:
    from shop.models import WorkOrder


def wheels_section(order: WorkOrder, styles: Styles) -> list[Any]:
    """Wheel, tyre and spacer of each axle; nothing if there are none."""
    rows = fitted_on(order)
    if not rows:
        return []
    speech = speech_on(styles)
    say = speech.say
    head = [say("Axle"), say("Wheel"), say("Tyre"), say("Spacer")]
    body = [
        [
            say(str(row.get_axle_display())),
            _by_maker(str(row.wheel), row.wheel.maker),
            _by_maker(str(row.tyre), row.tyre.maker),
            speech.length(row.spacer_mm) if row.spacer_mm else say("none"),
        ]
        for row in rows
    ]
    return [
        heading(say("Wheels and tyres"), styles),
        ruled_table(styles, head, body, (1.2, 4, 4, 1.4)),
    ]


def _by_maker(name: str, maker: str) -> str:
    return f"{maker} {name}" if maker else name


def mounting_section(order: WorkOrder, styles: Styles) -> list[Any]:
    """A sentence about the mounting checks on record, and a row for each that fails.

    It stands under the wheels: nothing without them, and nothing without a record.
    """
    check = MountingCheck.objects.filter(order=order).first()
    if check is None or not fitted_on(order):
        return []
    speech = speech_on(styles)
    checked = speech.say("Checked on {day}.", day=speech.day(check.at))
    state = mounting_state(order) if order.is_open else None
    if state is not None and state.digest != check.digest:
        checked += " " + speech.say("The job has changed since: this check is out of date.")
    sentence = text(
        f"{sentences(counted(check.answers), customer(speech))} {checked}", styles["small"]
    )
    failing = barring_first(one for one in check.answers if one.outcome == Outcome.FAILS)
    said = [Spacer(1, 3), sentence]
    return [*said, Spacer(1, 2), _table(failing, speech, styles)] if failing else said


def _table(failing: Iterable[Result], speech: Speech, styles: Styles) -> Any:
    say = speech.say
    head = [say("Check"), say("Axle"), say("Found"), say("Asked, and by whom")]
    body = [
        [
            f"{told.title}: {told.said_outcome}",
            told.where,
            told.sentence,
            f"{told.rule} {told.source}.",
        ]
        for told in joined(failing, customer(speech))
    ]
    return ruled_table(styles, head, body, (2.8, 1.4, 3.4, 4.9))
