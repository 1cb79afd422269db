"""The shapes of documents that checks, searches and surveys keep, and how older ones become
today's."""

from __future__ import annotations

from typing import Any

from common.message import message, message_dump
from common.stored_json import Schema
from common.verdicts import Verdict

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


# Sentences of the engine became messages, written for each reader. What was kept before
# stays as it was written, in English.


def _verbatim(text: str) -> Document:
    return message_dump(message("verbatim", text=text))


def _answer_in_messages(answer: Document) -> Document:
    corners = {
        name: {
            **corner,
            "uncovered": [_verbatim(reason) for reason in corner["uncovered"]],
            "notes": [_verbatim(note) for note in corner["notes"]],
            "places": [
                {**place, "note": _verbatim(place["note"]) if place["note"] else None}
                for place in corner["places"]
            ],
        }
        for name, corner in answer.get("corners", {}).items()
    }
    return {**answer, "corners": corners} if answer else {}


def _with_loads_and_what_was_measured(answer: Document) -> Document:
    """Version 3 knew one load, and gave a spot that was not measured a clearance and a chance."""
    corners = {
        name: {**corner, "places": [_place_with_load(place) for place in corner["places"]]}
        for name, corner in answer.get("corners", {}).items()
    }
    return {**answer, "corners": corners} if answer else {}


def _place_with_load(place: Row) -> Row:
    measured = place["verdict"] != Verdict.UNMEASURED
    loaded = {**place, "load": "outside" if place["at"]["loaded"] else "", "measured": measured}
    if measured:
        return {**loaded, "supposed_mm": None}
    unknown = ("clearance_mm", "certified_mm", "sigma_mm", "touch_chance")
    supposed = {"supposed_mm": place["clearance_mm"], "doubt": []}
    return {**loaded, **supposed, **dict.fromkeys(unknown)}


def _option_in_messages(row: Row) -> Row:
    rest = {key: value for key, value in row.items() if key not in ("words", "room")}
    return {
        **rest,
        "changes_told": _verbatim(row["words"]),
        "tightest_told": _verbatim(row["room"]),
        "cautions": [_verbatim(caution) for caution in row["cautions"]],
    }


def _options_in_messages(rows: list[Row]) -> list[Row]:
    return [_option_in_messages(row) for row in rows]


def _ruled_out_in_messages(fell: list[list[Any]]) -> list[list[Any]]:
    return [[_verbatim(f"{reason} {what}".strip()), count] for reason, what, count in fell]


def _quick_options_in_messages(options: Document) -> Document:
    return {
        corner: {
            **kept,
            "means": [
                {
                    "changes_told": _verbatim(row["words"]),
                    "verdict": row["verdict"],
                    "told": [_verbatim(row["sentence"])],
                }
                for row in kept["means"]
            ],
            "found": _options_in_messages(kept["found"]),
            "ruled_out": _ruled_out_in_messages(kept["ruled_out"]),
        }
        for corner, kept in options.items()
    }


# Kinds of change and aims got the names that the rest of the program uses.


#: Names of kinds and aims that were kept before, and today's.
RENAMED = {"means": "camber_method", "most room": "most clearance"}


def _renamed(names: list[str]) -> list[str]:
    return [RENAMED.get(name, name) for name in names]


def _option_renamed(row: Row) -> Row:
    today: Row = {key: _renamed(row[key]) for key in ("changes", "wins") if key in row}
    return {**row, **today}


def _options_renamed(rows: list[Row]) -> list[Row]:
    return [_option_renamed(row) for row in rows]


def _quick_options_renamed(options: Document) -> Document:
    return {
        corner: {
            **{RENAMED.get(key, key): value for key, value in kept.items()},
            "found": _options_renamed(kept["found"]),
        }
        for corner, kept in options.items()
    }


def _quick_options_with_ranks(options: Document) -> Document:
    """A search beside a check looked at a part of the catalogue and did not say so; and options
    had no ranks."""
    return {
        corner: {"complete": False, **kept, "found": _options_with_ranks(kept["found"])}
        for corner, kept in options.items()
    }


def _options_with_ranks(rows: list[Row]) -> list[Row]:
    return [{"ranks": {}, "changes": [], **row} for row in rows]


def _limits_renamed(asked: Document) -> Document:
    return {**asked, "may": _renamed(asked["may"])} if "may" in asked else asked


def _drawings_to_letter(drawings: Document) -> Document:
    """Version 1 kept a drawing for the shop and one for customers; now one is lettered for both."""
    return {
        corner: {
            name: _scene_to_letter(kept[reader])
            for name, reader in (("alone", "shop"), ("beside", "beside"))
            if kept.get(reader)
        }
        for corner, kept in drawings.items()
    }


def _scene_to_letter(scene: Document) -> Document:
    parts = [
        {**part, "words": part.get("words") or f"{part['length_mm']:g} mm"}
        if part["is"] == "ScaleBar"
        else part
        for part in scene["parts"]
    ]
    return {**scene, "description": [scene["description"]], "parts": parts}


#: Codes of the mounting checks by the names that version 1 kept.
RULES_BY_NAME = {
    "Bolt circle and count": "bolt-circle",
    "Centre bore and ring": "centre-bore",
    "Seat of the nuts or bolts": "seat",
    "Thread": "thread",
    "Thread engaged": "engagement",
    "Rim width": "rim-width",
    "Load index": "load-index",
    "Speed symbol": "speed-symbol",
    "Load at top speed": "load-at-speed",
    "Wheel load rating": "wheel-load",
    "Overall diameter": "diameter",
    "Overall diameter, in millimetres": "diameter-mm",
    "Offset": "offset",
    "Track width": "track",
    "Spacers": "spacers",
    "Nuts on their full thread": "full-thread",
    "Front to rear diameter": "diameter-ratio",
    "Brake and spokes": "brakes",
    "Cover of the wheel": "cover",
    "Rear edge of the cover": "rear-edge",
    "Gap to the suspension": "gap-parts",
    "Gap to the body": "gap-body",
    "Gap from lock to lock": "gap-lock",
    "Chains over the tread": "chain-tread",
    "Chains beside the tyre": "chain-side",
    "Ride height": "height",
    "Travel left": "travel-left",
}


def _mounting_in_messages(results: list[Row]) -> list[Row]:
    return [
        {
            "rule": RULES_BY_NAME[row["title"]],
            "axle": row["axle"],
            "corner": row["corner"],
            "outcome": row["outcome"],
            "found": _verbatim(_filled(row["said"])),
            "asks": _verbatim(_filled(row["asks"])),
            "source": row["source"],
            "missing": [_verbatim(name) for name in row["missing"]],
        }
        for row in results
    ]


def _without_bars(results: list[Row]) -> list[Row]:
    """Version 2 did not tell what cannot be mounted from what a manager may pass."""
    return [{"bars": False, **row} for row in results]


def _clearance_by_its_name(facts: Document) -> Document:
    """Version 1 kept the digest of the clearance check as ``room``."""
    return {("clearance" if key == "room" else key): value for key, value in facts.items()}


def _filled(kept: list[Any]) -> str:
    template, values = kept
    return str(template.format(**values))


#: A check file: what a clearance check was asked.
CHECK_INPUTS = Schema("check file")
#: What the engine answered, as ``checkfile.answer_dump`` has it; empty where it could not.
ANSWER = Schema(
    "clearance answer",
    (_with_hub_effects_and_shift, _answer_in_messages, _with_loads_and_what_was_measured),
)
#: Why the engine could not answer, as a message; empty where it could.
STOPPED = Schema("what stopped a check")
#: Drawings by corner, ``alone`` and ``beside`` the wheel on the car, not lettered yet.
DRAWINGS = Schema("drawings of a check", (_drawings_to_letter,))
#: What was tried at corners that do not clear: by corner ``camber_method``, ``found`` and
#: ``ruled_out``, and whether all was looked at, ``complete``.
QUICK_OPTIONS = Schema(
    "options beside a check",
    (
        _found_as_options,
        _quick_options_in_messages,
        _quick_options_renamed,
        _quick_options_with_ranks,
    ),
)
#: The set-up that a search began from, as the address of the try-out has it.
SEARCH_START = Schema("start of a search")
#: What a search may change, and within which limits.
SEARCH_LIMITS = Schema("limits of a search", (_limits_renamed,))
#: Options that a search found, as rows of ``tryout.results``.
FOUND_OPTIONS = Schema(
    "options of a search",
    (_rows_with_cautions_apart, _options_in_messages, _options_renamed, _options_with_ranks),
)
#: What fell in a search: [why as a message, count].
RULED_OUT = Schema("what a search ruled out", (_ruled_out_in_messages,))
#: What mounting checks used.
MOUNTING_INPUTS = Schema("facts of the mounting", (_clearance_by_its_name,))
#: What mounting checks answered, as ``mounting.rule.result_dump`` has it.
MOUNTING_RESULTS = Schema("results of the mounting", (_mounting_in_messages, _without_bars))
#: The measured part of a corner of a check file.
SURVEY = Schema("corner survey")
#: Joints as measured, readings, and how far the fit moved each joint.
JOINT_FIT = Schema("fit of joints")
