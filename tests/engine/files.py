"""The example check files, and small tools to spoil them."""

from __future__ import annotations

import copy
import json
import re
from functools import cache
from pathlib import Path
from typing import Any

from fitment.engine import checkfile
from fitment.engine.model import Check

EXAMPLES = Path(__file__).parent / "data" / "examples"
NAMES = sorted(path.stem for path in EXAMPLES.glob("check-??.json"))

#: One example of each kind of corner. Strut cars steer, "rear_strut" does not.
STRUT, REAR_STRUT, LINKS, CURVES = "check-00", "check-02", "check-04", "check-05"


class _Gone:
    """Put in place of a value, it takes the key away; a test's name shows it as one word."""

    def __repr__(self) -> str:
        return "gone"


GONE = _Gone()


@cache
def text_of(name: str) -> str:
    return (EXAMPLES / f"{name}.json").read_text(encoding="utf-8")


def document(name: str) -> Any:
    """A fresh copy of an example file, free to be spoilt."""
    return json.loads(text_of(name))


def check_of(name: str) -> Check:
    """An example file as a check."""
    return checkfile.loads(text_of(name))


def wishbones_name() -> str:
    return next(name for name in NAMES if '"wishbones"' in text_of(name))


def steps(path: str) -> list[str | int]:
    """``a.b[2]`` as the keys that lead there."""
    return [
        int(index) if index else key for key, index in re.findall(r"([^.\[\]]+)|\[(\d+)\]", path)
    ]


def put(tree: Any, path: str, value: object) -> None:
    """Set, or with GONE delete, what stands at a path."""
    *way, last = steps(path)
    for step in way:
        tree = tree[step]
    if value is GONE:
        del tree[last]
    else:
        tree[last] = copy.deepcopy(value)
