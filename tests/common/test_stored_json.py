"""Kept documents: written with their version, read in today's shape, refused from tomorrow."""

from __future__ import annotations

import json
from typing import Any

import pytest

from common.stored_json import Schema, UnreadableDocument, is_kept


def in_inches(document: dict[str, Any]) -> dict[str, Any]:
    return {"inches": document["mm"] / 25.4}


def listed(document: dict[str, Any]) -> list[float]:
    return [document["inches"]]


FIRST = Schema("width")
SECOND = Schema("width", (in_inches,))
THIRD = Schema("width", (in_inches, listed))


@pytest.mark.parametrize("schema", [FIRST, SECOND, THIRD])
@pytest.mark.parametrize("content", [{}, [], {"mm": 1}, None, "text", {"content": 1}])
def test_what_is_written_is_read_back(schema: Schema, content: Any) -> None:
    kept = json.loads(json.dumps(schema.write(content)))
    assert is_kept(kept)
    assert schema.read(kept) == content


def test_every_older_version_comes_out_in_todays_shape() -> None:
    assert THIRD.read({"mm": 50.8}) == [2.0], "without a version it is the first"
    assert THIRD.read(FIRST.write({"mm": 50.8})) == [2.0]
    assert THIRD.read(SECOND.write({"inches": 2.0})) == [2.0]
    assert THIRD.read(THIRD.write([2.0])) == [2.0]
    assert (FIRST.version, SECOND.version, THIRD.version) == (1, 2, 3)


def test_a_later_version_is_refused_by_name() -> None:
    with pytest.raises(UnreadableDocument, match=r"This width is of version 3.*versions up to 2"):
        SECOND.read(THIRD.write([2.0]))


@pytest.mark.parametrize("version", [0, -1, "2", 1.5, None, True])
def test_a_version_that_is_none_is_refused(version: object) -> None:
    with pytest.raises(UnreadableDocument, match="A width has no version"):
        SECOND.read({**SECOND.write({}), "version": version})


def test_a_document_of_another_schema_is_refused_by_both_names() -> None:
    with pytest.raises(UnreadableDocument, match="This is a height, where a width is kept"):
        FIRST.read(Schema("height").write({}))
