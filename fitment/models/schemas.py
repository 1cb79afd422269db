"""The shapes of documents that checks, searches and surveys keep, and how older ones become
today's."""

from __future__ import annotations

from typing import Any

from common.stored_json import Schema

Document = dict[str, Any]
Row = dict[str, Any]


def _with_hub_effects_and_shift(answer: Document) -> Document:
    """Version 1 came before hub position, effects of adjusters, and gaps read on this car."""
    corners = {
        name: {
            "seat": None,
            "levers": [],
            **corner,
            "places": [{"shift_mm": 0.0, **place} for place in corner["places"]],
        }
        for name, corner in answer.get("corners", {}).items()
    }
    return {**answer, "corners": corners} if answer else {}


def _cautions_apart(row: Row) -> Row:
    """An option of version 1 had its cautions in one sentence, and failed no mounting check."""
    rest = {key: value for key, value in row.items() if key != "caution"}
    said = [row["caution"]] if row.get("caution") else []
    return {"cautions": said, "fails": False, "shown": False, "wins": [], **rest}


#: Where version 1 kept the few changes that it had tried.
TRIED = "clear"


def _found_as_options(options: Document) -> Document:
    """Version 1 tried a few changes at a corner (``clear``) before there was a search."""
    return {corner: _corner_options(kept) for corner, kept in options.items()}


def _corner_options(kept: Document) -> Document:
    tried = kept.get(TRIED, [])
    rest = {key: value for key, value in kept.items() if key != TRIED}
    return {
        "ruled_out": [],
        **rest,
        "means": [row for row in kept.get("means", []) if row not in tried],
        "found": [*map(_cautions_apart, kept.get("found", [])), *map(_tried_as_option, tried)],
    }


def _tried_as_option(row: Row) -> Row:
    """A change that was tried without a search: nothing is known of its price or its set-up."""
    return {
        "words": row["words"],
        "room": row["sentence"],
        "verdict": row["verdict"],
        "cautions": [],
        "fails": False,
        "shown": False,
        "wins": [],
        "price": None,
        "put": {},
    }


def _rows_with_cautions_apart(rows: list[Row]) -> list[Row]:
    return [_cautions_apart(row) for row in rows]


#: A check file: what a clearance check was asked.
CHECK_INPUTS = Schema("check file")
#: What the engine answered, as ``checkfile.answer_dump`` has it; empty where it could not.
ANSWER = Schema("clearance answer", (_with_hub_effects_and_shift,))
#: Drawings by corner and reader, as ``stored_drawings`` writes them.
DRAWINGS = Schema("drawings of a check")
#: What was tried at corners that do not clear: by corner ``means``, ``found``, ``ruled_out``.
QUICK_OPTIONS = Schema("options beside a check", (_found_as_options,))
#: The set-up that a search began from, as the address of the try-out has it.
SEARCH_START = Schema("start of a search")
#: What a search may change, and within which limits.
SEARCH_LIMITS = Schema("limits of a search")
#: Options that a search found, as rows of ``tryout.results``.
FOUND_OPTIONS = Schema("options of a search", (_rows_with_cautions_apart,))
#: What fell in a search: [reason, what, count].
RULED_OUT = Schema("what a search ruled out")
#: What mounting checks went by.
MOUNTING_INPUTS = Schema("facts of the mounting")
#: What mounting checks answered, as ``mounting.rule.result_dump`` has it.
MOUNTING_RESULTS = Schema("results of the mounting")
#: The measured part of a corner of a check file.
SURVEY = Schema("corner survey")
#: Joints as measured, readings, and how far the fit moved each joint.
JOINT_FIT = Schema("fit of joints")
