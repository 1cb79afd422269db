"""What the spec sheet tells of mounting checks: as they stood on record, in the reader's words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from reportlab.platypus import Spacer

from fitment.engine.mounting.rule import FAILS, Result
from fitment.models import MountingCheck
from fitment.mounting.services.record import mounting_state
from fitment.mounting.text import counted_sentences, joined
from shop.languages import Speech
from shop.paper.pdf_styles import ruled_table, speech_on, text

if TYPE_CHECKING:
    from shop.models import WorkOrder

Styles = Mapping[str, Any]


def mounting_flowables(order: WorkOrder, styles: Styles) -> list[Any]:
    """A sentence about all of them, and a row for each that fails; nothing without a record."""
    check = MountingCheck.objects.filter(order=order).first()
    if check is None:
        return []
    speech = speech_on(styles)
    checked = speech.say("Checked on {day}.", day=speech.day(check.at))
    state = mounting_state(order) if order.is_open else None
    if state is not None and state.digest != check.digest:
        checked += " " + speech.say("The job has changed since: this check is out of date.")
    sentence = text(" ".join([*counted_sentences(check.answers, speech), checked]), styles["small"])
    failing = [one for one in check.answers if one.outcome == FAILS]
    said = [Spacer(1, 3), sentence]
    return [*said, Spacer(1, 2), _table(failing, speech, styles)] if failing else said


def _table(failing: Iterable[Result], speech: Speech, styles: Styles) -> Any:
    say = speech.say
    head = [say("Check"), say("Axle"), say("Found"), say("Asked, and by whom")]
    body = [
        [told.title, told.where, told.sentence, f"{told.rule} {told.source}."]
        for told in joined(failing, speech)
    ]
    return ruled_table(styles, head, body, (2.8, 1.4, 3.4, 4.9))
