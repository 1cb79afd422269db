"""Files that commands read: from a path or standard input, of bounded size."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from django.core.management.base import CommandError

GOOD, STOPPED, BAD_INPUT = 0, 1, 2
MAX_BYTES = 20_000_000


@contextmanager
def opened(name: str) -> Iterator[BinaryIO]:
    """A file, or standard input for ``-``; a CommandError where it cannot be read."""
    try:
        if name == "-":
            yield sys.stdin.buffer
        else:
            with Path(name).open("rb") as file:
                yield file
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise CommandError(f"{name} cannot be read: {reason}", returncode=BAD_INPUT) from error


def read_file(name: str, what: str) -> bytes:
    """The whole of a file; ``what`` it should be, for the refusal of one that is too large."""
    with opened(name) as file:
        data = file.read(MAX_BYTES + 1)
    if len(data) > MAX_BYTES:
        raise CommandError(f"{name} is too large for a {what}", returncode=BAD_INPUT)
    return data


def lines_of(name: str) -> Iterator[bytes | None]:
    """The lines of a file as they come; None for one that is too large, which is skipped."""
    with opened(name) as file:
        while line := file.readline(MAX_BYTES + 1):
            too_large = len(line) > MAX_BYTES
            while too_large and line and not line.endswith(b"\n"):
                line = file.readline(MAX_BYTES + 1)
            yield None if too_large else line


def listed_problems(problems: list[str], what: str) -> str:
    """Everything that is wrong with a file, a line each."""
    count = len(problems)
    head = f"{count} {'problem' if count == 1 else 'problems'} in the {what}:"
    return "\n".join([head, *problems])
