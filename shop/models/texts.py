"""Languages that people choose, and what the shop typed in more than one of them."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models


def language_choices() -> list[tuple[str, str]]:
    """The languages of the site, each in its own name."""
    return list(settings.LANGUAGES)


def own_language() -> str:
    """The shop's own language: that of what it types, and of new customers."""
    return str(settings.LANGUAGE_CODE)


def other_languages() -> list[tuple[str, str]]:
    """Those in which a text may be given besides the shop's own."""
    return [choice for choice in language_choices() if choice[0] != own_language()]


class Translated(models.Model):
    """A row whose typed texts may be given in other languages, too.

    ``texts`` holds them by language and field: ``{"de": {"name": "Domlager"}}``.
    """

    texts: models.JSONField[Any, Any] = models.JSONField(default=dict, blank=True, editable=False)

    class Meta:
        abstract = True

    def text_in(self, language: str, name: str) -> str:
        """A field in a language; as it was typed where there is no text for that language."""
        return str(self.texts.get(language, {}).get(name) or getattr(self, name))

    def set_text(self, language: str, name: str, text: str) -> None:
        """Keep a field's text for a language; an empty one takes it away."""
        of_language = {**self.texts.get(language, {}), name: text.strip()}
        kept = {key: value for key, value in of_language.items() if value}
        others = {code: texts for code, texts in self.texts.items() if code != language}
        self.texts = {**others, language: kept} if kept else others
