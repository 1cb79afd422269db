"""Golden answers: what this version of the engine says to questions that never change.

    python -m tests.engine.golden

writes data/golden.json anew. Answers may only change together with ENGINE_VERSION, since stored
checks hold for as long as their engine's version does; without a higher one the script refuses.
Questions are the worked check files in data/examples and the check files in data/golden, drawn
once by ``random_check`` and kept, so that a change of how corners are drawn changes nothing here.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from common.canonical_json import digest_of
from fitment.engine import checkfile
from fitment.engine.check import ENGINE_VERSION, run
from fitment.engine.minimum import branch_and_bound
from fitment.engine.model import CornerAnswer
from tests.engine.random_corners import random_check

DATA = Path(__file__).parent / "data"
ANSWERS = DATA / "golden.json"
EXAMPLES, DRAWN = DATA / "examples", DATA / "golden"
#: Seeds of the corners that were drawn: five of every kind of suspension.
SEEDS = range(20)

#: How far a figure may move before the answer is another one, by how its name ends.
TOLERANCES = {"_mm": 0.005, "_deg": 0.001, "_chance": 0.002}
#: The same at a spot that overlaps by more than 5 mm: its depth by what a proof of it promises
#: there (``branch_and_bound``: so much, and a part of what lies beyond those 5 mm), the rest by as
#: much as the spots that are about as deep differ. A depth is for ordering. Where a body goes
#: through a wheel many moments are nearly as deep, and the last bit of a processor's sines and sums
#: decides which of their hollows a search is led into; two processors state other figures, and
#: neither is wrong. A contact stays one, and so does every verdict.
DEEP_MM, DEEP_SHARE = branch_and_bound.DEEP_MM, branch_and_bound.DEEP_SHARE
DEEP_TOLERANCES = {"clearance_mm": 0.1, "sigma_mm": 1.0, "touch_chance": 0.02}
#: Decimals that are written, well below any tolerance.
DECIMALS = 6

Record = dict[str, Any]


@dataclass(frozen=True)
class Golden:
    """Answers as recorded: by case, a flat record of path and figure or word."""

    engine_version: str
    answers: Mapping[str, Record]


def questions() -> dict[str, Any]:
    """Every question, a check file, by its name: examples first, then drawn corners."""
    paths = [*sorted(EXAMPLES.glob("check-??.json")), *sorted(DRAWN.glob("corner-??.json"))]
    return {path.stem: json.loads(path.read_text(encoding="utf-8")) for path in paths}


def record(question: Any) -> Record:
    """The answer to a check file: its words, millimetres, degrees and chances, by their path."""
    answer = run(checkfile.parse(question))
    found: Record = {"question": digest_of(question), "verdict": str(answer.verdict)}
    for name, corner in answer.corners.items():
        found |= {f"{name}.{path}": _written(value) for path, value in _corner(corner)}
    return found


def _corner(corner: CornerAnswer) -> Iterator[tuple[str, object]]:
    yield "verdict", str(corner.verdict)
    static = corner.static
    for angle in ("camber_deg", "toe_deg", "caster_deg", "inclination_deg"):
        yield f"static.{angle}", getattr(static, angle)
    for axis, value in zip("xyz", static.hub_mm, strict=True):
        yield f"static.hub_{axis}_mm", value
    for adjuster, position in corner.adjusters.items():
        if isinstance(position, Mapping):
            yield from ((f"adjusters.{rod}_mm", value) for rod, value in position.items())
        else:
            yield f"adjusters.{adjuster}", position
    yield "out_of_reach", sorted(short.adjuster for short in corner.out_of_reach)
    yield "uncovered", len(corner.uncovered)
    yield "places", [place.place for place in corner.places]
    for index, place in enumerate(corner.places):
        yield f"places[{index}].verdict", str(place.verdict)
        yield f"places[{index}].clearance_mm", place.clearance_mm
        yield f"places[{index}].sigma_mm", place.sigma_mm
        yield f"places[{index}].touch_chance", place.touch_chance


def _written(value: object) -> object:
    """A figure with its decimals, as JSON will hold it; anything else as it is."""
    if isinstance(value, float):
        return round(value, DECIMALS) + 0.0 if value == value else None
    return value


def differences(old: Record, new: Record) -> list[str]:
    """What an answer says otherwise than it did; a figure that is newly recorded is none."""
    return [
        f"{path}: {was} → {new.get(path, 'gone')}"
        for path, was in old.items()
        if not _same(was, new.get(path), _allowed(path, old))
    ]


def is_new(old: Record, new: Record) -> bool:
    """Whether the question itself is another one, so that its answer says nothing of the engine."""
    return bool(old["question"] != new["question"])


def _same(was: object, now: object, allowed: float) -> bool:
    if isinstance(was, int | float) and isinstance(now, int | float):
        return abs(now - was) <= allowed
    return was == now


def _allowed(path: str, old: Record) -> float:
    """By how much a figure may differ from the one on file."""
    spot, _, figure = path.rpartition(".")
    depth = old.get(f"{spot}.clearance_mm")
    if isinstance(depth, float) and depth < DEEP_MM and figure in DEEP_TOLERANCES:
        beyond = (DEEP_MM - depth) * DEEP_SHARE if figure == "clearance_mm" else 0.0
        return DEEP_TOLERANCES[figure] + beyond
    return next((most for end, most in TOLERANCES.items() if path.endswith(end)), 0.0)


def read() -> Golden:
    """The answers on file. Raises FileNotFoundError before the first were written."""
    document = json.loads(ANSWERS.read_text(encoding="utf-8"))
    return Golden(document["engine_version"], document["answers"])


def renewed(old: Golden, fresh: Mapping[str, Record], version: str) -> Golden:
    """What the file shall hold. Raises ValueError where answers changed and the version did not.

    While the version stays, answers on file stay to the last digit, so that many small changes
    cannot add up to a large one; only answers to other questions are taken in.
    """
    if version == old.engine_version:
        changed = {
            name: found
            for name, was in old.answers.items()
            if name in fresh and not is_new(was, fresh[name])
            if (found := differences(was, fresh[name]))
        }
        if changed:
            raise ValueError(
                f"Answers changed, but ENGINE_VERSION is still {version!r}. Raise it in "
                f"fitment/engine/check.py, then run this again.\n{told(changed)}"
            )
        kept = {
            name: was
            for name, was in old.answers.items()
            if name in fresh and not is_new(was, fresh[name])
        }
        return Golden(version, {name: kept.get(name, new) for name, new in fresh.items()})
    if int(version) < int(old.engine_version):
        raise ValueError(
            f"ENGINE_VERSION is {version!r}, but answers on file are of {old.engine_version!r}: "
            "a version is never used twice."
        )
    return Golden(version, fresh)


def told(changed: Mapping[str, list[str]], most: int = 5) -> str:
    """Changes by case, a few of each."""
    lines = []
    for name, found in changed.items():
        lines += [f"{name}: {len(found)} changed", *(f"  {one}" for one in found[:most])]
    return "\n".join(lines)


def write(golden: Golden) -> None:
    document = {"engine_version": golden.engine_version, "answers": golden.answers}
    ANSWERS.write_text(json.dumps(document, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


def draw_missing() -> None:
    """Put the questions of the seeds on file that are not there yet."""
    DRAWN.mkdir(exist_ok=True)
    for seed in SEEDS:
        path = DRAWN / f"corner-{seed:02}.json"
        if not path.exists():
            document = checkfile.dump(random_check(seed))
            path.write_text(json.dumps(document, indent=1) + "\n", encoding="utf-8")


def main() -> int:
    draw_missing()
    old = read() if ANSWERS.exists() else Golden(ENGINE_VERSION, {})
    fresh = {name: record(question) for name, question in questions().items()}
    try:
        golden = renewed(old, fresh, ENGINE_VERSION)
    except ValueError as refused:
        print(refused, file=sys.stderr)  # noqa: T201
        return 1
    write(golden)
    print(f"{len(golden.answers)} answers of version {golden.engine_version}")  # noqa: T201
    return 0


if __name__ == "__main__":
    sys.exit(main())
