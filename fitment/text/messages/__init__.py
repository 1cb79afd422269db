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
    retired,
    surveys,
)

MESSAGES: dict[str, Sentence] = {
    **answers.MESSAGES,
    **drawings.MESSAGES,
    **mounting.MESSAGES,
    **mounting_found.MESSAGES,
    **options.MESSAGES,
    **pages.MESSAGES,
    **retired.MESSAGES,
    **surveys.MESSAGES,
}
