"""The form of one reading; what it asks depends on the form in which it is taken."""

from __future__ import annotations

from typing import Any

from django import forms

from fitment.engine.readings import FORMS, POSES, Figure, Reading
from fitment.engine.sheet import Sheet
from fitment.engine.surveying import BadReading

from .fields import NumberField

#: Figures that stay the same from one reading of a form to the next.
KEPT = ("block_mm", "thickness_mm", "lip_radius_mm", "motion_ratio", "spot", "depth_side")


class ReadingForm(forms.Form):
    """One reading of the kind ``kind``; ``sheet`` is what was read before."""

    def __init__(self, *args: Any, kind: str, sheet: Sheet, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.kind, self.sheet, asks = kind, sheet, FORMS[kind]
        before = sheet.newest(kind)
        if asks.at_place:
            self.fields["place"] = forms.CharField(
                label="Place", max_length=80, widget=forms.TextInput(attrs={"list": "places"})
            )
        if asks.in_pose:
            self.fields["pose"] = forms.ChoiceField(label="Pose", choices=list(POSES.items()))
        for figure in asks.figures:
            field = _field(figure)
            if before is not None and figure.name in KEPT:
                field.initial = before.values.get(figure.name)
            self.fields[figure.name] = field

    def clean_place(self) -> str:
        return " ".join(str(self.cleaned_data["place"]).split()).lower()

    def clean(self) -> dict[str, Any]:
        value = super().clean() or self.cleaned_data
        if not self.errors:
            try:
                self.sheet.check(self.reading())
            except BadReading as bad:
                reason = str(bad)
                field = bad.field if bad.field in self.fields else None
                self.add_error(field, f"{reason[:1].upper()}{reason[1:].rstrip('.')}.")
        return value

    def reading(self) -> Reading:
        """What was typed, as the engine takes it."""
        value = self.cleaned_data
        figures = {name: kept["value"] for name, kept in self.values().items()}
        pose = value.get("pose") or "standing"
        return Reading(self.kind, figures, value.get("place", ""), pose)

    def values(self) -> dict[str, Any]:
        """By figure what was typed and what it means; figures left out stay out."""
        return {
            figure.name: {
                "typed": str(self.data.get(self.add_prefix(figure.name), ""))[:40],
                "value": self.cleaned_data[figure.name],
            }
            for figure in FORMS[self.kind].figures
            if self.cleaned_data.get(figure.name) not in (None, "")
        }


def _field(figure: Figure) -> forms.Field:
    about = {"label": figure.words, "required": figure.required, "help_text": figure.help}
    if figure.choices:
        blank = [] if figure.required else [("", "–")]
        return forms.ChoiceField(
            choices=[*blank, *((word, word) for word in figure.choices)], **about
        )
    if figure.text:
        return forms.CharField(max_length=40, **about)
    return NumberField(min_value=-3000, max_value=3000, **about)
