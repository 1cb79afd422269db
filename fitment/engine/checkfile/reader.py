"""Reading values out of a JSON document while collecting everything that is wrong with it.

A value that cannot be read is put down as a problem and replaced by a blank: NaN for a number,
an empty text, an empty list. Comparisons with NaN come out false, so rules that join several
values stay silent about a value already complained of, and one pass finds every problem
once. What was read counts only when no problem was found.
"""

from __future__ import annotations

import difflib
import json
import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from types import TracebackType
from typing import Any, Self

from common.shortened import shortened

Pair = tuple[float, float]
Vec3 = tuple[float, float, float]

BLANK = math.nan
MISSING = object()
MAX_TEXT = 200
MAX_ROWS = 1000

_PLAIN_KEY = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


@dataclass(frozen=True)
class Problem:
    """Something wrong with a document: where, as a JSON path, and what."""

    path: str
    message: str

    def __str__(self) -> str:
        return f"{self.path or 'the file'}: {self.message}"


class BadCheckFile(ValueError):
    """A document that cannot be used, with every problem found in it."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


@dataclass(frozen=True)
class Range:
    """The values that a figure can sensibly have; a span wide enough for any road car."""

    low: float
    high: float
    unit: str = ""

    def holds(self, value: float) -> bool:
        return self.low <= value <= self.high

    def __str__(self) -> str:
        unit = f" {self.unit}" if self.unit else ""
        return f"{self.low:g} to {self.high:g}{unit}"


class Repeated(dict[str, Any]):
    """A JSON object in which some keys stood more than once."""

    def __init__(self, pairs: Sequence[tuple[str, Any]], repeated: Iterable[str]) -> None:
        super().__init__(pairs)
        self.repeated = tuple(repeated)


def json_document(text: str | bytes) -> object:
    """Parse JSON text, keeping word of repeated keys for the reader to report.

    Raises BadCheckFile if the text is not JSON at all.
    """
    try:
        decoded = text.decode("utf-8-sig") if isinstance(text, bytes) else text.lstrip("\ufeff")
        return json.loads(decoded, object_pairs_hook=_object)
    except UnicodeDecodeError:
        reason = "not text in UTF-8"
    except json.JSONDecodeError as error:
        reason = f"not JSON: {error.msg} at line {error.lineno}, column {error.colno}"
    except RecursionError:
        reason = "nested too deeply"
    except ValueError:
        reason = "holds a number with too many digits"
    raise BadCheckFile([Problem("", reason)])


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    counts = Counter(key for key, _ in pairs)
    repeated = [key for key, count in counts.items() if count > 1]
    return Repeated(pairs, repeated) if repeated else dict(pairs)


class Node:
    """One value of the document, its path, and the list that its problems go to."""

    def __init__(self, value: object, path: str, problems: list[Problem]) -> None:
        self.value = value
        self.path = path
        self.problems = problems

    def problem(self, message: str) -> None:
        self.problems.append(Problem(self.path, message))

    def child(self, key: str | int, value: object) -> Node:
        return Node(value, join(self.path, key), self.problems)

    def number(self, within: Range) -> float:
        """A finite number inside a range."""
        value = self.value
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.problem(f"should be a number, not {kind_of(value)}")
            return BLANK
        try:
            number = float(value)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            self.problem("should be a finite number")
            return BLANK
        if not within.holds(number):
            self.problem(f"{number:g} is outside what is plausible, {within}")
            return BLANK
        return number

    def text(self) -> str:
        """A printable text, trimmed; not empty."""
        if not isinstance(self.value, str):
            self.problem(f"should be a text, not {kind_of(self.value)}")
            return ""
        text = self.value.strip()
        if not text:
            self.problem("should not be empty")
        elif len(text) > MAX_TEXT:
            self.problem(f"is longer than {MAX_TEXT} characters")
        elif not text.isprintable():
            self.problem("holds characters that cannot be printed")
        else:
            return text
        return ""

    def choice(self, allowed: Sequence[str]) -> str:
        """One of the words in ``allowed``."""
        if isinstance(self.value, str) and self.value in allowed:
            return self.value
        given = kind_of(self.value) if not isinstance(self.value, str) else show(self.value)
        self.problem(f"should be one of {listed(allowed)}, not {given}")
        return ""

    def flag(self) -> bool:
        if isinstance(self.value, bool):
            return self.value
        self.problem(f"should be true or false, not {kind_of(self.value)}")
        return False

    def rows(self, least: int = 0, most: int = MAX_ROWS) -> list[Node]:
        """The items of a list of ``least`` to ``most`` items."""
        if not isinstance(self.value, list | tuple):
            self.problem(f"should be a list, not {kind_of(self.value)}")
            return []
        if not least <= len(self.value) <= most:
            wanted = f"exactly {least}" if least == most else f"{least} to {most}"
            count = len(self.value)
            self.problem(f"has {count} {'item' if count == 1 else 'items'}, not {wanted}")
        return [self.child(index, item) for index, item in enumerate(self.value[:most])]

    def numbers(self, *within: Range) -> tuple[float, ...]:
        """A list with one number for each of the ranges."""
        rows = self.rows(len(within), len(within))
        if len(rows) != len(within):
            return (BLANK,) * len(within)
        return tuple(row.number(span) for row, span in zip(rows, within, strict=True))

    def pair(self, first: Range, second: Range) -> Pair:
        a, b = self.numbers(first, second)
        return a, b

    def point(self, within: Range) -> Vec3:
        x, y, z = self.numbers(within, within, within)
        return x, y, z

    def table(self) -> Table:
        return Table(self)


class Table:
    """A JSON object being read key by key; leaving the ``with`` block reports unknown keys.

    A key with the value null counts as absent.
    """

    def __init__(self, node: Node) -> None:
        self.node = node
        self.asked: set[str] = set()
        self.blank = not isinstance(node.value, dict)
        self.content: dict[Any, object] = node.value if isinstance(node.value, dict) else {}
        if self.blank and node.value is not MISSING:
            node.problem(f"should be an object with named values, not {kind_of(node.value)}")
        if isinstance(node.value, Repeated):
            for key in node.value.repeated:
                self.problem(key, "stands more than once")

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        for key in self.content:
            if key not in self.asked:
                self.problem(key, f"is not known here{_perhaps(str(key), self.asked)}")

    def problem(self, key: str, message: str) -> None:
        self.node.child(str(key), None).problem(message)

    def has(self, key: str) -> bool:
        self.asked.add(key)
        return self.content.get(key) is not None

    def maybe(self, key: str) -> Node | None:
        """The value of a key, or None if it is absent."""
        return self.node.child(key, self.content[key]) if self.has(key) else None

    def need(self, key: str) -> Node | None:
        """The value of a key that must be there; None, and a problem, if it is not."""
        if not self.has(key) and not self.blank:
            self.problem(key, "is missing")
        return self.maybe(key)

    def number(self, key: str, within: Range, default: float | None = None) -> float:
        """A number; one without a default must be there."""
        node = self.need(key) if default is None else self.maybe(key)
        if node is None:
            return BLANK if default is None else default
        return node.number(within)

    def maybe_number(self, key: str, within: Range) -> float | None:
        node = self.maybe(key)
        return node.number(within) if node else None

    def text(self, key: str, default: str | None = None) -> str:
        node = self.need(key) if default is None else self.maybe(key)
        return node.text() if node else default or ""

    def choice(self, key: str, allowed: Sequence[str], default: str | None = None) -> str:
        node = self.need(key) if default is None else self.maybe(key)
        return node.choice(allowed) if node else default or ""

    def flag(self, key: str) -> bool:
        """True or false; absent means false."""
        node = self.maybe(key)
        return node.flag() if node else False

    def point(self, key: str, within: Range) -> Vec3:
        node = self.need(key)
        return node.point(within) if node else (BLANK, BLANK, BLANK)

    def rows(self, key: str, least: int = 0, most: int = MAX_ROWS) -> list[Node]:
        """Items of a list; one with a least number of items must be there."""
        node = self.need(key) if least else self.maybe(key)
        return node.rows(least, most) if node else []

    def table(self, key: str) -> Table:
        return Table(self.need(key) or self.node.child(key, MISSING))

    def maybe_table(self, key: str) -> Table | None:
        node = self.maybe(key)
        return Table(node) if node else None

    def entries(self) -> Iterator[tuple[str, Node]]:
        """All entries of a table whose keys are names; null counts as absent."""
        for key in self.content:
            name = str(key)
            node = self.maybe(name)
            if node:
                yield name, node


def join(path: str, key: str | int) -> str:
    """The JSON path of a child."""
    if isinstance(key, int):
        return f"{path}[{key}]"
    if _PLAIN_KEY.fullmatch(key):
        return f"{path}.{key}" if path else key
    return f"{path}[{json.dumps(key, ensure_ascii=not key.isprintable())}]"


def show(text: str) -> str:
    """A text in quotes, safe to print, shortened."""
    short = shortened(text, 40)
    return f"“{short}”" if short.isprintable() else json.dumps(short)


def listed(words: Iterable[str]) -> str:
    """Words with commas and a last "or"."""
    *head, last = words
    return f"{', '.join(head)} or {last}" if head else last


def kind_of(value: object) -> str:
    """What kind of JSON value something is, in words."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, int | float):
        return "a number"
    if isinstance(value, str):
        return "a text"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, dict):
        return "an object"
    return f"a {type(value).__name__}"


def _perhaps(key: str, known: Iterable[str]) -> str:
    close = difflib.get_close_matches(key, known, n=1, cutoff=0.75)
    return f"; perhaps {close[0]} is meant" if close else ""
