"""What does a kind of background task."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Protocol


class Work(Protocol):
    """One task while it is worked on, as whoever works on it sees it."""

    @property
    def subject(self) -> int:
        """The row that the task is about."""

    @property
    def is_cancelled(self) -> bool:
        """Whether people asked to stop it."""

    def tell(self, done_share: float) -> bool:
        """Say how much is done, 0 to 1; answers whether to go on.

        Cheap: it is written down once a second. Whoever is told to stop returns; a task that was
        taken from it or put back must not be written to, and ``keeping`` refuses that.
        """

    def keeping(self, done_share: float) -> AbstractContextManager[None]:
        """A transaction in which a step's outcome is kept, with how much is done then.

        Raises TaskTaken where another worker has the task by now: then nothing is kept.
        """


@dataclass(frozen=True)
class TaskKind:
    """A kind of task by name. ``run`` returns when its work is done, or when it is told to stop.

    It may be begun again at any time, and goes on from what it kept.
    """

    name: str
    run: Callable[[Work], None]


@dataclass(frozen=True)
class Chore:
    """What a worker does by itself between tasks, such as sending the mail that waits.

    ``is_due`` says cheaply whether there is something to do now, and ``run`` does it; it returns
    early where ``is_ending()`` says that the worker has to stop. Several workers may run it at
    once. ``is_expected`` says whether something falls due soon, for which a worker of this
    process stays.
    """

    name: str
    is_due: Callable[[], bool]
    run: Callable[[Callable[[], bool]], None]
    is_expected: Callable[[], bool] = lambda: False
