"""One text for one document, and its digest: what tells whether two records are the same.

Numbers count by value: ``5``, ``5.0`` and ``5e0`` are one number, and so are ``0`` and ``-0.0``,
whichever of them a form, a file or a database handed over. Keys are sorted, nothing is indented,
and text stays as it is (no Unicode normalisation). RFC 8785 has the same aims; its rule for
writing numbers is not followed, since no other program has to arrive at the same digest.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping, Sequence


def canonical_json(document: object) -> str:
    """The text of a document of mappings, sequences, text, numbers, booleans and None.

    Raises ValueError for a number that is not finite, and TypeError for what JSON has no form for
    or for a key that is not text; both name where it stands.
    """
    return json.dumps(
        _plain(document, "$"), sort_keys=True, separators=(",", ":"), ensure_ascii=False
    )


def digest_of(document: object) -> str:
    """SHA-256 of the canonical text, as 64 hexadecimal digits. Raises as canonical_json does."""
    return hashlib.sha256(canonical_json(document).encode()).hexdigest()


def _plain(value: object, path: str) -> object:
    if value is None or isinstance(value, bool | int):
        return value
    if isinstance(value, str):
        return str(value)
    if isinstance(value, float):
        return _number(value, path)
    if isinstance(value, Mapping):
        return {_key(key, path): _plain(one, f"{path}.{key}") for key, one in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, bytes | bytearray):
        return [_plain(one, f"{path}[{index}]") for index, one in enumerate(value)]
    raise TypeError(f"{path} is a {type(value).__name__}, which JSON has no form for")


def _key(key: object, path: str) -> str:
    if isinstance(key, str):
        return str(key)
    raise TypeError(f"{path} has the key {key!r}, which is not text")


def _number(value: float, path: str) -> float | int:
    """A whole number as an integer, which also makes one zero of two."""
    if not math.isfinite(value):
        raise ValueError(f"{path} is {value}, which is not a finite number")
    return int(value) if value.is_integer() else float(value)
