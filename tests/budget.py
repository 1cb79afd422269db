"""Budgets of work: shares of other work, measured in the same test, so that no machine decides."""

from __future__ import annotations

import time
from collections.abc import Callable

TURNS = 7


def share_of(peer: Callable[[], object], work: Callable[[], object]) -> float:
    """Processor time of some work as a share of its peer's: the best of turns taken in turn."""
    of_peer, of_work = [], []
    for _ in range(TURNS):
        of_peer.append(_seconds(peer))
        of_work.append(_seconds(work))
    return min(of_work) / min(of_peer)


def _seconds(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start
