"""Forms of what a wheel was seen to do: a bump-steer sheet, and readings to fit joints to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from django import forms
from django.utils import timezone
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from alignment.geometry.joint_fit import READING_SIGMA_DEG
from alignment.geometry.model import TravelReading
from common.numerals import whole
from fitment.fields.numbers import NumberField, number_text, parse_number, split_row
from fitment.fields.rows import WordedRowsField
from shop.site.joining import JoinedForm

#: What stands in a row where something was not read.
NOT_READ = ("-", "–", "−", ".")


class WhoAndWhen(forms.Form):
    """Who read it, and when."""

    measured_on = forms.DateField(
        label=_("Read on"),
        initial=timezone.localdate,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    measured_by = forms.CharField(label=_("Read by"), max_length=80)


class TravelRowsField(WordedRowsField):
    """``-20  0.35  -0.12``: travel, change of camber, change of toe; a dash where not read."""

    def row(self, line: str) -> dict[str, float]:
        words = split_row(line)
        if len(words) not in (2, 3):
            raise ValueError("write travel, change of camber and change of toe; a dash if not read")
        row = {"travel_mm": parse_number(words[0])}
        for name, word in zip(("camber_deg", "toe_deg"), words[1:], strict=False):
            if word not in NOT_READ:
                row[name] = parse_number(word)
        return row

    def clean(self, value: Any) -> Any:
        rows = super().clean(value)
        return sorted(rows, key=lambda row: row["travel_mm"])

    def prepare_value(self, value: Any) -> Any:
        if isinstance(value, list):
            return "\n".join(
                "  ".join(
                    number_text(row[name]) if row.get(name) is not None else "-"
                    for name in ("travel_mm", "camber_deg", "toe_deg")
                )
                for row in value
            )
        return value


class TravelSheetForm(JoinedForm, WhoAndWhen):
    """A bump-steer sheet, and what the check does with it."""

    not_joined = ("measured_on", "measured_by")
    rows = TravelRowsField(
        label=_("Travel, change of camber, change of toe"),
        widget=forms.Textarea(attrs={"rows": 10, "cols": 32, "spellcheck": "false"}),
        help_text=_(
            "One height a line: travel in mm, bump positive; camber and toe of this wheel in "
            "° less what they are at the height of the survey; a dash where it was not read. "
            "A line of zeros is put in by itself. Empty takes the sheet away."
        ),
    )
    use = forms.ChoiceField(
        label=_("What the check does with it"),
        choices=[
            (
                "correct",
                _("It corrects the model: the difference is added, and held beyond the sheet"),
            ),
            ("instead", _("It stands instead of the model: nothing is judged beyond the sheet")),
        ],
        widget=forms.RadioSelect,
        initial="correct",
    )
    fieldsets: ClassVar = [
        (_("Who and when"), ["measured_on", "measured_by"]),
        (_("The sheet"), ["rows", "use"]),
    ]

    def sheet(self) -> dict[str, Any] | None:
        """The sheet as ``suspension.measured`` of a check file; None if it was emptied."""
        rows: list[dict[str, float]] = list(self.cleaned_data["rows"])
        if not rows:
            return None
        if all(row["travel_mm"] != 0 for row in rows):
            rows.append({"travel_mm": 0.0, "camber_deg": 0.0, "toe_deg": 0.0})
            rows.sort(key=lambda row: row["travel_mm"])
        return {"use": self.cleaned_data["use"], "rows": rows}

    def put(self, path: str, message: str) -> None:
        """Show a problem of the check file's reader at the rows that it came from."""
        steps = path.replace("[", ".").replace("]", "").split(".")
        line = next((n + 1 for n in map(whole, steps) if n is not None), None)
        self.add_error("rows", f"{f'Line {line}: ' if line else ''}{message}.")


#: Heights at which a corner is read, in the order of the work.
HEIGHTS: dict[str, str] = {
    "standing": "Standing",
    "hanging": "Hanging",
    "jacked": "Jacked up",
    "more": "Another height",
}


class JointFitForm(WhoAndWhen):
    """Camber and toe as the rack reads them at a few heights."""

    sigma_deg = NumberField(
        label=_("Uncertainty of a change, °"),
        required=False,
        min_value=0.01,
        max_value=1,
        help_text=format_lazy(
            _("Empty: {sigma}°, read on a rack."), sigma=f"{READING_SIGMA_DEG:g}"
        ),
    )

    def __init__(self, *args: Any, setting: Mapping[str, float], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fieldsets = [("Who and when", ["measured_on", "measured_by"])]
        for key, words in HEIGHTS.items():
            self.fieldsets.append((words, self._height(key, setting)))
        self.fieldsets.append(("How sure", ["sigma_deg"]))

    def _height(self, key: str, setting: Mapping[str, float]) -> list[str]:
        names = [f"{key}_camber_deg", f"{key}_toe_deg"]
        first = key == "standing"
        for name, words in zip(names, ("Camber, °", "Toe of this wheel, °"), strict=True):
            self.fields[name] = NumberField(
                label=words,
                required=first,
                min_value=-15,
                max_value=15,
                initial=setting[name.removeprefix("standing_")] if first else None,
            )
        if first:
            return names
        self.fields[f"{key}_travel_mm"] = NumberField(
            label=_("Travel from standing, mm"),
            required=False,
            min_value=-300,
            max_value=300,
            help_text=_("Hub to lip standing, less hub to lip here: bump is positive."),
        )
        return [f"{key}_travel_mm", *names]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        read = 0
        for key, words in HEIGHTS.items():
            if key == "standing":
                continue
            travel = cleaned.get(f"{key}_travel_mm")
            angles = [cleaned.get(f"{key}_{name}") for name in ("camber_deg", "toe_deg")]
            some = any(angle is not None for angle in angles)
            if some and not travel:
                self.add_error(f"{key}_travel_mm", _("Say how far from standing this was."))
            if travel and not some:
                self.add_error(f"{key}_camber_deg", _("Say what was read at this height."))
            read += bool(some and travel)
            if travel and some and (odd := _odd(travel, words)):
                self.add_error(f"{key}_travel_mm", odd)
        if not read and not self.errors:
            raise forms.ValidationError(_("Read at least one height away from standing."))
        return cleaned

    def readings(self) -> tuple[TravelReading, ...]:
        """Changes from standing at every height that was read."""
        value = self.cleaned_data.get
        rows = []
        for key in HEIGHTS:
            travel = value(f"{key}_travel_mm")
            if key == "standing" or not travel:
                continue
            rows.append(
                TravelReading(
                    travel,
                    camber_deg=self._change(key, "camber_deg"),
                    toe_deg=self._change(key, "toe_deg"),
                )
            )
        return tuple(rows)

    def _change(self, key: str, name: str) -> float | None:
        """How far a reading at one height lies from the one standing; None if not read."""
        read = self.cleaned_data.get(f"{key}_{name}")
        return None if read is None else read - self.cleaned_data[f"standing_{name}"]


def _odd(travel: float, words: str) -> str:
    """A question where the sign of a travel does not suit its height; empty if it does."""
    if words == HEIGHTS["hanging"] and travel > 0:
        return "A hanging wheel is in droop: the travel is negative."
    if words == HEIGHTS["jacked"] and travel < 0:
        return "A wheel that is jacked up is in bump: the travel is positive."
    return ""
