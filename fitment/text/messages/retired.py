"""Sentences of codes that are answered no longer, but stand in documents that were kept."""

from __future__ import annotations

from alignment.text.render import Sentence, sentence
from fitment.text.messages import answers, drawings

MESSAGES: dict[str, Sentence] = {
    "pose.loaded": answers.MESSAGES["pose.load-outside"],
    "legend.loaded": drawings.MESSAGES["legend.load-outside"],
    "when.corner": answers.MESSAGES["when.load-outside"],
    "drawing.gap-unmeasured": sentence(
        "{gap_mm} unmeasured", gap_mm=drawings.MESSAGES["drawing.gap-clear"].forms["gap_mm"]
    ),
}
