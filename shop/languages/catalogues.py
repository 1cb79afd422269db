"""Catalogues of languages: which there are, and how they are compiled.

A language is a folder of ``locale/`` with a ``django.po``. What gettext reads is its compiled twin,
``django.mo``, which is not kept in the repository: two people who change sentences would conflict
in a binary file. polib compiles it, one module of pure Python, so that neither a fresh clone nor
an image needs GNU gettext; ``make`` does it wherever a catalogue is newer than its twin.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path

import polib
from django.conf import settings

PO = Path("LC_MESSAGES/django.po")


def catalogues() -> Iterator[Path]:
    """The catalogue of every language of the site."""
    for folder in settings.LOCALE_PATHS:
        yield from sorted(path / PO for path in Path(folder).iterdir() if (path / PO).exists())


def is_stale(catalogue: Path) -> bool:
    """Whether a catalogue was never compiled, or changed since."""
    compiled = catalogue.with_suffix(".mo")
    return not compiled.exists() or compiled.stat().st_mtime < catalogue.stat().st_mtime


def compile_catalogues(paths: Iterable[Path] | None = None) -> list[Path]:
    """Compile what is stale; several processes may do so at once. Answers what was compiled."""
    stale = [path for path in (catalogues() if paths is None else paths) if is_stale(path)]
    for path in stale:
        ready = path.with_suffix(f".mo.{os.getpid()}")
        polib.pofile(str(path)).save_as_mofile(str(ready))
        ready.replace(path.with_suffix(".mo"))
    return stale
