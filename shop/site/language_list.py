"""The languages of the site: those that have a folder in ``locale/``. Read by the settings."""

from __future__ import annotations

from pathlib import Path

from django.conf.locale import LANG_INFO
from django.utils.translation import to_language


def languages_in(folder: Path) -> list[tuple[str, str]]:
    """Codes and own names, by code; a folder that Django has no name for is called by its code."""
    codes = sorted(to_language(path.parent.parent.name) for path in folder.glob("*/*/django.po"))
    return [(code, LANG_INFO.get(code, {}).get("name_local", code)) for code in codes]
