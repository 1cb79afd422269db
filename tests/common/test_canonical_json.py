"""Canonical JSON: one text for equal documents, different ones for different documents."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from enum import StrEnum
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from common.canonical_json import canonical_json, digest_of

#: Of a few kinds and few values, so that equal pairs come up often.
SMALL = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(-2, 2),
        st.sampled_from([0.0, -0.0, 1.0, 0.5, -2.0, 1e300]),
        st.text("aé\n", max_size=2),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text("ab", max_size=2), inner, max_size=3)
    ),
    max_leaves=6,
)
ANY = st.recursive(
    st.one_of(
        st.none(),
        st.booleans(),
        st.integers(),
        st.floats(allow_nan=False, allow_infinity=False),
        st.text(),
    ),
    lambda inner: st.one_of(st.lists(inner), st.dictionaries(st.text(), inner)),
)


def same(one: Any, other: Any) -> bool:
    """Equal as JSON: a number by value, but never a number and a boolean."""
    if isinstance(one, Mapping) and isinstance(other, Mapping):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(same, one, other))
    if isinstance(one, bool) or isinstance(other, bool):
        return one is other
    numbers = isinstance(one, int | float) and isinstance(other, int | float)
    return (numbers or type(one) is type(other)) and bool(one == other)


@given(SMALL, SMALL)
def test_the_texts_are_equal_exactly_where_the_documents_are(one: Any, other: Any) -> None:
    assert (canonical_json(one) == canonical_json(other)) == same(one, other)


@given(ANY)
def test_nothing_is_lost_and_reading_it_back_changes_nothing(document: Any) -> None:
    text = canonical_json(document)
    assert same(json.loads(text), document)
    assert canonical_json(json.loads(text)) == text


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (5, 5.0),
        (0, -0.0),
        (0.0, -0.0),
        ({"a": 1, "b": [2.0]}, {"b": (2,), "a": 1.0}),
        (2**60, float(2**60)),
        (0.1, 1e-1),
    ],
)
def test_a_number_counts_by_its_value(one: Any, other: Any) -> None:
    assert digest_of(one) == digest_of(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (5, 5.1),
        (True, 1),
        (False, 0),
        (None, 0),
        ("5", 5),
        ([], {}),
        (2**60, 2**60 + 1),
        ("\u00e9", "e\u0301"),
    ],
)
def test_what_is_not_the_same_has_another_digest(one: Any, other: Any) -> None:
    assert digest_of(one) != digest_of(other)


def test_the_text_and_digest_of_a_document_stay_what_they_are() -> None:
    document = {"wheel": {"offset_mm": 35.0, "name": "é"}, "lips": [True, None, -0.5]}
    assert canonical_json(document) == (
        '{"lips":[true,null,-0.5],"wheel":{"name":"é","offset_mm":35}}'
    )
    # sha256sum of that text in UTF-8, computed outside this program
    assert digest_of(document) == "a314ae9f8267ea95f95a0f2c2b37c11e743a8e46ae246f5c52af1c01cdfbaaeb"


def test_a_member_of_an_enum_is_its_word() -> None:
    class Word(StrEnum):
        CLEAR = "clear"

    assert canonical_json({Word.CLEAR: Word.CLEAR}) == '{"clear":"clear"}'


@pytest.mark.parametrize(
    ("document", "error", "says"),
    [
        ({"a": [1, math.nan]}, ValueError, r"\$\.a\[1\] is nan"),
        ({"a": math.inf}, ValueError, r"\$\.a is inf"),
        ({"a": {1: 2}}, TypeError, r"\$\.a has the key 1"),
        ({"a": b"bytes"}, TypeError, r"\$\.a is a bytes"),
        ([{1, 2}], TypeError, r"\$\[0\] is a set"),
    ],
)
def test_what_json_cannot_hold_is_refused_by_its_place(
    document: Any, error: type[Exception], says: str
) -> None:
    with pytest.raises(error, match=says):
        canonical_json(document)
