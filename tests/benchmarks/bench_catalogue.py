"""``python -m tests.benchmarks.bench_catalogue``: seconds that a search of a large list takes."""

from __future__ import annotations

import sys
import time

from fitment.engine.search.aims import LEAST_CHANGE, LEAST_COST, MOST_CLEARANCE, WIDEST
from fitment.engine.search.options import options
from tests.benchmarks.catalogues import large_question


def main() -> None:
    for goal in (WIDEST, LEAST_COST, MOST_CLEARANCE, LEAST_CHANGE):
        question = large_question(goal)
        wall, own = time.monotonic(), time.process_time()
        found = options(question)
        sys.stdout.write(
            f"{goal:<14}{found.candidates} combinations, {found.judged} checked in full: "
            f"{time.monotonic() - wall:.1f} s, {time.process_time() - own:.1f} s of one core\n"
        )


if __name__ == "__main__":
    main()
