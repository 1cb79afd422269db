"""Options, beside a check and of a search, in older shapes."""

from __future__ import annotations

from typing import Any

from fitment.models.upgrades.messages import Document, Row, verbatim


def _cautions_apart(row: Row) -> Row:
    """An option of version 1 had its cautions in one sentence, and failed no mounting check."""
    rest = {key: value for key, value in row.items() if key != "caution"}
    said = [row["caution"]] if row.get("caution") else []
    return {"cautions": said, "fails": False, "shown": False, "wins": [], **rest}


#: Where version 1 kept the few changes that it had tried.
TRIED = "clear"


def found_as_options(options: Document) -> Document:
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


def rows_with_cautions_apart(rows: list[Row]) -> list[Row]:
    return [_cautions_apart(row) for row in rows]


def _option_in_messages(row: Row) -> Row:
    rest = {key: value for key, value in row.items() if key not in ("words", "room")}
    return {
        **rest,
        "changes_told": verbatim(row["words"]),
        "tightest_told": verbatim(row["room"]),
        "cautions": [verbatim(caution) for caution in row["cautions"]],
    }


def options_in_messages(rows: list[Row]) -> list[Row]:
    return [_option_in_messages(row) for row in rows]


def ruled_out_in_messages(fell: list[list[Any]]) -> list[list[Any]]:
    return [[verbatim(f"{reason} {what}".strip()), count] for reason, what, count in fell]


def quick_options_in_messages(options: Document) -> Document:
    return {
        corner: {
            **kept,
            "means": [
                {
                    "changes_told": verbatim(row["words"]),
                    "verdict": row["verdict"],
                    "told": [verbatim(row["sentence"])],
                }
                for row in kept["means"]
            ],
            "found": options_in_messages(kept["found"]),
            "ruled_out": ruled_out_in_messages(kept["ruled_out"]),
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


def options_renamed(rows: list[Row]) -> list[Row]:
    return [_option_renamed(row) for row in rows]


def quick_options_renamed(options: Document) -> Document:
    return {
        corner: {
            **{RENAMED.get(key, key): value for key, value in kept.items()},
            "found": options_renamed(kept["found"]),
        }
        for corner, kept in options.items()
    }


def quick_options_with_ranks(options: Document) -> Document:
    """A search beside a check looked at a part of the catalogue and did not say so; and options
    had no ranks."""
    return {
        corner: {"complete": False, **kept, "found": options_with_ranks(kept["found"])}
        for corner, kept in options.items()
    }


def options_with_ranks(rows: list[Row]) -> list[Row]:
    return [{"ranks": {}, "changes": [], **row} for row in rows]


def limits_renamed(asked: Document) -> Document:
    return {**asked, "may": _renamed(asked["may"])} if "may" in asked else asked
