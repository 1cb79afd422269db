"""German."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {}
