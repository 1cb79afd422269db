"""Files that commands answer: how they are read, and how they are refused."""

from __future__ import annotations

import sys
from pathlib import Path

from django.core.management.base import CommandError

from fitment.engine.checkfile import BadCheckFile

#: Exit codes: answered and nothing stands against it, answered and something does, no usable file.
GOOD, STOPPED, BAD_INPUT = 0, 1, 2
MAX_BYTES = 20_000_000


def content_of(name: str, kind: str) -> bytes:
    """What a file holds, or standard input for ``-``; ``kind`` is the file's name in words.

    Raises CommandError for one that cannot be read or is too large.
    """
    try:
        if name == "-":
            data = sys.stdin.buffer.read(MAX_BYTES + 1)
        else:
            with Path(name).open("rb") as file:
                data = file.read(MAX_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise CommandError(f"{name} cannot be read: {reason}", returncode=BAD_INPUT) from error
    if len(data) > MAX_BYTES:
        raise CommandError(f"{name} is too large for a {kind}", returncode=BAD_INPUT)
    return data


def refusal(bad: BadCheckFile, kind: str) -> CommandError:
    """Every problem of a file, one a line."""
    count = len(bad.problems)
    head = f"{count} {'problem' if count == 1 else 'problems'} in the {kind}:"
    return CommandError(f"{head}\n{bad}", returncode=BAD_INPUT)
