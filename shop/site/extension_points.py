"""Where the apps above plug in: dotted paths in the settings, called from here.

``shop`` knows none of them. A plug-in that is named but cannot be imported is an error of the
installation and is raised, never skipped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.utils.module_loading import import_string

from common.verdicts import GateResult

if TYPE_CHECKING:
    from decimal import Decimal

    from django.http import HttpRequest

    from shop.languages import Speech
    from shop.models import WorkOrder

# Lowest role that may go on.
WRITER = "writer"
MANAGER = "manager"
NOBODY = "nobody"

#: The rule for each result: who may go on, and whether the customer signs first.
RULES: Mapping[GateResult, tuple[str, bool]] = {
    GateResult.CLEAR: (WRITER, False),
    GateResult.TIGHT: (WRITER, False),
    GateResult.NOT_NEEDED: (WRITER, False),
    GateResult.DOUBTFUL: (MANAGER, False),
    GateResult.CONTACT: (MANAGER, True),
    GateResult.OUT_OF_REACH: (MANAGER, True),
    GateResult.UNMEASURED: (MANAGER, True),
    GateResult.STALE: (NOBODY, False),
    GateResult.NOT_CHECKED: (NOBODY, False),
    GateResult.PASSES: (WRITER, False),
    GateResult.FAILS: (MANAGER, True),
    GateResult.CANNOT_SAY: (WRITER, False),
}
#: Results that a customer need not be warned of.
QUIET = (GateResult.CLEAR, GateResult.NOT_NEEDED, GateResult.PASSES)


@dataclass(frozen=True)
class GateAnswer:
    """What a gate says about an order, with the digest of all that it looked at.

    ``spoken`` says the sentence in a customer's language and units, where the gate can, and
    ``findings`` what stands behind it: rows with ``title``, ``where``, ``outcome``,
    ``said_outcome``, ``sentence``, ``rule`` and ``source``, as text. ``title`` names the gate.
    """

    gate: str
    result: GateResult
    sentence: str
    may_pass: str
    needs_signature: bool
    digest: str
    action_label: str = ""
    action_url: str = ""
    title: str = ""
    spoken: Callable[[Speech], str] | None = field(default=None, compare=False, repr=False)
    findings: Callable[[Speech], list[dict[str, str]]] | None = field(
        default=None, compare=False, repr=False
    )

    def said_to(self, speech: Speech) -> str:
        """The sentence for this reader; as it stands where nobody has other words for it."""
        return self.spoken(speech) if self.spoken else speech.may_say(self.sentence)


@dataclass(frozen=True)
class Panel:
    """A part of a page that another app renders: a template with its context."""

    title: str
    template: str
    context: Mapping[str, Any] = field(default_factory=dict)
    anchor: str = ""


@dataclass(frozen=True)
class LineHint:
    """Something chosen on an order that its lines may have to name. ``price`` is of one, net."""

    words: str
    quantity: int
    price: Decimal | None = None


def plugged(setting: str) -> Iterator[Callable[..., Any]]:
    """The callables that a setting lists, in its order."""
    for path in getattr(settings, setting, ()):
        yield import_string(path)


def booking_gates() -> list[Callable[[WorkOrder], GateAnswer]]:
    return list(plugged("BOOKING_GATES"))


def order_panels(request: HttpRequest, order: WorkOrder) -> list[Panel]:
    """Panels of the order page; one that has nothing to show answers None and is left out."""
    answers = (panel(request, order) for panel in plugged("WORK_ORDER_PANELS"))
    return [panel for panel in answers if panel is not None]


def customer_panels(order: WorkOrder) -> list[Panel]:
    answers = (panel(order) for panel in plugged("CUSTOMER_PANELS"))
    return [panel for panel in answers if panel is not None]


def sheet_sections(
    order: WorkOrder, styles: Mapping[str, Any], setting: str = "SHEET_SECTIONS"
) -> list[Any]:
    """Flowables of all sections of the spec sheet that a setting lists, in its order."""
    return [flowable for section in plugged(setting) for flowable in section(order, styles) or ()]


def quote_notes(order: WorkOrder) -> list[dict[str, Any]]:
    """What other apps tell on a quote about its choices: plain data, frozen with the quote.

    A note has ``axle`` and ``rows``: ``choice`` (chosen, declined), ``words``, ``verdict``, and
    ``price`` as text, empty where nobody knows it.
    """
    return [note for tell in plugged("QUOTE_NOTES") for note in tell(order)]


def line_hints(order: WorkOrder) -> list[LineHint]:
    """What other apps remind of beside the lines: nothing of it is charged by itself."""
    return [hint for tell in plugged("LINE_HINTS") for hint in tell(order)]
