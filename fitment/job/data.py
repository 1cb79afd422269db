"""What a job asks of the engine, why it cannot be asked, and where its check stands."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from fitment.job.car import Car, Document
from fitment.models import ClearanceCheck, PresentCorner
from shop.languages import Speech

#: The name of the clearance check's gate, under which overrides stand.
GATE = "clearance"
Spoken = Callable[[Speech], str]


@dataclass(frozen=True)
class Problem:
    """Why an order cannot be checked, in a sentence, with the place where it is mended.

    ``spoken`` says the sentence to other readers.
    """

    sentence: str
    url: str
    link: str
    spoken: Spoken = field(compare=False, repr=False)


@dataclass(frozen=True)
class CheckInputs:
    """What an order asks of the engine.

    ``document`` is a check file, or None when no corner can be asked about. ``unmeasured``
    names corners that have wheels and a plan but no survey. ``digest`` stands for all of it
    and for the engine's version. ``car`` holds the rows that it was made of.
    """

    document: Document | None
    digest: str
    problems: tuple[Problem, ...] = ()
    unmeasured: tuple[str, ...] = ()
    car: Car | None = None

    @property
    def present(self) -> Mapping[str, PresentCorner]:
        """The wheels that are on the car, by corner, for drawing."""
        return self.car.present if self.car else {}

    @property
    def can_run(self) -> bool:
        return self.document is not None and not self.problems


@dataclass(frozen=True)
class CheckState:
    """Where an order's check stands.

    ``current`` is a check of exactly these inputs by this engine; ``latest`` the newest of all.
    """

    inputs: CheckInputs
    current: ClearanceCheck | None
    latest: ClearanceCheck | None

    @property
    def is_stale(self) -> bool:
        return self.current is None and self.latest is not None

    @property
    def shown(self) -> ClearanceCheck | None:
        return self.current or self.latest
