"""The sentences of fitment, one for each code that the engine answers with."""

from __future__ import annotations

from alignment.text.render import Sentence
from fitment.text.messages import (
    answers,
    drawings,
    mounting,
    mounting_found,
    options,
    pages,
    surveys,
    typed,
    uncertainty,
)

MESSAGES: dict[str, Sentence] = {
    **answers.MESSAGES,
    **drawings.MESSAGES,
    **mounting.MESSAGES,
    **mounting_found.MESSAGES,
    **options.MESSAGES,
    **pages.MESSAGES,
    **surveys.MESSAGES,
    **typed.MESSAGES,
    **uncertainty.MESSAGES,
}
