"""Check files spoilt by somebody who knows their structure: what a mutant is, and how it fares.

A mutant is an example file after one to three changes drawn by a seed: keys taken away, doubled or
moved, figures pushed to the ends of what is plausible and past them, lists emptied, doubled, turned
or made very long, values of one kind put in the place of another. Three in four of the changes keep
a file near to a good one, so that many mutants are answered and not refused.
"""

from __future__ import annotations

import copy
import json
import math
import time
import tracemalloc
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from fitment.engine import checkfile
from fitment.engine.check import CannotCheck, run
from tests.engine.files import NAMES, text_of

Rng = np.random.Generator
Json = Any
Way = tuple[str | int, ...]

#: What a check of one corner may take at most: processor time, s, and memory, bytes.
SECONDS, BYTES = 2.0, 200e6
ODD_VALUES: tuple[Json, ...] = (
    *(None, True, False, "", " ", "NaN", "0", "é\u202e", "x" * 5000, [], {}, [[]], {"": {}}),
    *(0, -0.0, 1e-300, -1e-9, 1e308, -1e308, 10**400, 2**63, 1e9, math.inf, -math.inf, math.nan),
)
FACTORS = (0.0, -1.0, 1e-9, 0.5, 0.99, 1.01, 2.0, 10.0, 25.4, 1000.0)


@dataclass(frozen=True)
class Fared:
    """What came of a mutant: "refused", "stopped" or "answered", with the paths of its problems,
    and the processor time and memory that it took."""

    outcome: str
    paths: tuple[str, ...] = ()
    seconds: float = 0.0
    peak_bytes: float = 0.0


def mutant(seed: int) -> str:
    """The text of the mutant of a seed."""
    rng = np.random.default_rng([4711, seed])
    tree = json.loads(text_of(NAMES[int(rng.integers(len(NAMES)))]))
    if rng.random() < 0.3:
        _more(rng, tree)
    for _ in range(int(rng.integers(1, 4))):
        change = CHANGES[int(rng.choice(len(CHANGES), p=CHANCES))]
        change(rng, tree)
    return json.dumps(tree)


def fares(text: str) -> Fared:
    """Read and answer a check file as the command line does, watched.

    Anything but a refusal that names its place, or an answer, is a fault and passes through.
    """
    tracemalloc.start()
    begin = time.process_time()
    try:
        fared = _fares(text)
        seconds = time.process_time() - begin
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    if seconds > SECONDS:  # watching memory costs time too
        begin = time.process_time()
        _fares(text)
        seconds = time.process_time() - begin
    return Fared(fared.outcome, fared.paths, seconds, float(peak))


def _fares(text: str) -> Fared:
    try:
        check = checkfile.loads(text)
    except checkfile.BadCheckFile as bad:
        return Fared("refused", tuple(problem.path for problem in bad.problems))
    try:
        answer = run(check)
    except CannotCheck as cannot:
        return Fared("stopped", (f"corners.{cannot.corner}",))
    json.dumps(checkfile.answer_dump(answer), allow_nan=False)
    return Fared("answered")


# ---- what is changed


def _places(tree: Json, way: Way = ()) -> Iterator[tuple[Way, Json]]:
    """Every value of a tree with the keys that lead there."""
    yield way, tree
    if isinstance(tree, dict):
        for key, value in tree.items():
            yield from _places(value, (*way, key))
    elif isinstance(tree, list):
        for index, value in enumerate(tree):
            yield from _places(value, (*way, index))


def _at(tree: Json, way: Way) -> Json:
    for key in way:
        tree = tree[key]
    return tree


def _pick(rng: Rng, tree: Json, wanted: Callable[[Json], bool]) -> tuple[Json, str | int] | None:
    """The holder and key of a value that is wanted; None where there is none."""
    ways = [way for way, value in _places(tree) if way and wanted(value)]
    if not ways:
        return None
    *head, last = ways[int(rng.integers(len(ways)))]
    return _at(tree, tuple(head)), last


def _is_figure(value: Json) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _scaled(rng: Rng, tree: Json) -> None:
    """A figure times one that slips of the hand come to."""
    if found := _pick(rng, tree, _is_figure):
        holder, key = found
        holder[key] = holder[key] * FACTORS[int(rng.integers(len(FACTORS)))]


def _nudged(rng: Rng, tree: Json) -> None:
    """A figure a little off, as another reading would be."""
    if found := _pick(rng, tree, _is_figure):
        holder, key = found
        holder[key] = round(float(holder[key]) * (1.0 + float(rng.normal(0, 0.15))), 2)


def _odd(rng: Rng, tree: Json) -> None:
    """Something else in the place of a value."""
    if found := _pick(rng, tree, lambda _: True):
        holder, key = found
        holder[key] = copy.deepcopy(ODD_VALUES[int(rng.integers(len(ODD_VALUES)))])


def _gone(rng: Rng, tree: Json) -> None:
    if found := _pick(rng, tree, lambda _: True):
        holder, key = found
        del holder[key]


def _moved(rng: Rng, tree: Json) -> None:
    """A value put where another stands, as a slip in a form would."""
    one, other = (_pick(rng, tree, lambda _: True) for _ in range(2))
    if one and other:
        other[0][other[1]] = copy.deepcopy(one[0][one[1]])


def _renamed(rng: Rng, tree: Json) -> None:
    if found := _pick(rng, tree, lambda value: isinstance(value, dict) and bool(value)):
        table = found[0][found[1]]
        key = list(table)[int(rng.integers(len(table)))]
        table[f"{key}_"] = table.pop(key)


def _list_changed(rng: Rng, tree: Json) -> None:
    """A list emptied, doubled, turned, shuffled or cut."""
    found = _pick(rng, tree, lambda value: isinstance(value, list) and bool(value))
    if not found:
        return
    rows = found[0][found[1]]
    what = int(rng.integers(5))
    if what == 0:
        rows.clear()
    elif what == 1:
        rows.extend(copy.deepcopy(rows))
    elif what == 2:
        rows.reverse()
    elif what == 3:
        rng.shuffle(rows)
    else:
        del rows[int(rng.integers(len(rows))) :]


def _huge(rng: Rng, tree: Json) -> None:
    """A list many times as long, its rows as they were or each a little off."""
    found = _pick(rng, tree, lambda value: isinstance(value, list) and bool(value))
    if not found:
        return
    rows = found[0][found[1]]
    many = int(rng.choice([20, 60, 250, 2000]))
    rows[:] = [copy.deepcopy(rows[i % len(rows)]) for i in range(many)]
    for index, row in enumerate(rows):
        if isinstance(row, dict) and "place" in row:
            row["place"] = f"place {index}"
        elif isinstance(row, dict):
            for key, value in row.items():
                if _is_figure(value):
                    row[key] = round(value + float(rng.normal(0, 15)), 1)


def _zigzag(rng: Rng, tree: Json) -> None:
    """An edge that goes to and fro past the wheel."""
    count = int(rng.choice([30, 120, 400, 3000]))
    jump = float(rng.choice([1.0, 5.0, 40.0]))
    points = [
        {"clock_deg": jump * (i % 2), "radius_mm": 380 + i % 13, "axial_mm": i % 120 - 90}
        for i in range(count)
    ]
    edge = {"place": "zigzag", "carried_by": "body", "shape": "edge", "points": points}
    for corner in _corners(tree):
        features = corner.get("survey", {}).get("features")
        if isinstance(features, list):
            features.append(copy.deepcopy(edge))


def _more(rng: Rng, tree: Json) -> None:
    """Further keys of the format, so that what reads them is met as well."""
    tree["duty"] = str(rng.choice(["street", "autocross", "track"]))
    for corner in _corners(tree):
        corner["compliance"] = [
            {"aft_mm_per_g": 4, "tyre_side_mm_per_g": 8, "camber_deg_per_g": 0.4},
            "rubber",
            {"lateral_mm_per_g": 2, "toe_deg_per_g": -0.1, "aft_mm_per_g": 9},
        ][int(rng.integers(3))]
        corner["tyre"] |= {"largest_allowed": True, "protective_rib": bool(rng.random() < 0.5)}
        corner["wheel"] |= {"barrel_mm": 14, "spoke_back": [[-5, 60], [10, 150]]}
        first = corner["survey"]["features"][0]["place"]
        corner["present"] = {
            "planned": {"toe_deg": corner["survey"]["setting"]["toe_deg"]},
            "wheel": copy.deepcopy(corner["wheel"]),
            "tyre": copy.deepcopy(corner["tyre"]),
            "gaps": [{"place": first, "gap_mm": 20, "travel_mm": float(rng.normal(0, 60))}],
        }


def _corners(tree: Json) -> list[dict[str, Any]]:
    corners = tree.get("corners") if isinstance(tree, dict) else None
    found = corners.values() if isinstance(corners, dict) else []
    return [one for one in found if isinstance(one, dict) and isinstance(one.get("survey"), dict)]


CHANGES: tuple[Callable[[Rng, Json], None], ...] = (
    *(_scaled, _nudged, _odd, _gone, _moved, _renamed, _list_changed, _huge, _zigzag),
)
CHANCES = (0.12, 0.5, 0.06, 0.04, 0.05, 0.02, 0.08, 0.07, 0.06)
