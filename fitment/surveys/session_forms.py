"""Forms of readings: one reading, or several of a kind that are taken in one go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, TypedDict

from django import forms
from django.utils.translation import gettext_lazy as _

from alignment.geometry import units
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.reading_values import FARTHEST, LONGEST
from fitment.engine.survey.readings import POSES, STANDING, Figure, Reading
from fitment.engine.survey.surveying import BadReading
from fitment.fields.numbers import NumberField
from fitment.surveys.session_form_state import RowAsked
from shop.languages.formatting import capital

#: Figures that stay the same from one reading of a form to the next.
KEPT = ("block_mm", "thickness_mm", "lip_radius_mm", "motion_ratio", "spot", "depth_side")
#: Angles that people read in degrees and minutes, and with a word for the sign.
RACK_ANGLES = ("camber_deg", "toe_deg", "caster_deg", "inclination_deg")
Values = dict[str, Any]


class _About(TypedDict):
    """What every field is made with."""

    label: str
    required: bool
    help_text: str


class UnitField(NumberField):
    """A length or an angle as it is read off a tape or a rack; ``unit`` is the one typed."""

    longest = 40

    def __init__(self, *, angle: bool = False, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.parse = units.parse_angle if angle else units.parse_length

    def read(self, typed: str) -> float:
        try:
            return round(self.parse(typed).value, 6)
        except units.NotUnderstood as refused:
            raise forms.ValidationError(str(refused)) from None

    def unit_of(self, typed: str) -> str:
        """The unit in which a text that was taken gives its number."""
        return self.parse(typed).unit


class ReadingForm(forms.Form):
    """One reading of the kind ``kind``; ``sheet`` is what was read before."""

    def __init__(
        self, *args: Any, kind: str, sheet: Sheet, pose: str = STANDING, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.kind, self.sheet, self.asks = kind, sheet, FORMS[kind]
        before = sheet.newest(kind)
        _add_where(self, kind)
        self.figures = self.asks.figures_in(self.data.get("pose") or pose)
        for figure in self.figures:
            field = _field(figure)
            if before is not None and figure.name in KEPT:
                field.initial = before.values.get(figure.name)
            self.fields[figure.name] = field

    def clean_place(self) -> str:
        return _place(self.cleaned_data["place"])

    def clean(self) -> dict[str, Any]:
        value = super().clean() or self.cleaned_data
        if not self.errors:
            _check(self, self.sheet, self.readings()[0][0], {f: f for f in self.fields})
        return value

    def readings(self) -> list[tuple[Reading, Values]]:
        """What was typed, as the engine takes it, and as it is kept."""
        value = self.cleaned_data
        kept = {
            figure.name: _kept(self, figure, figure.name)
            for figure in self.figures
            if value.get(figure.name) not in (None, "")
        }
        return [(_reading(self.kind, kept, value), kept)]


class SeriesForm(forms.Form):
    """Several readings of one form at one place: what they share once, then row by row.

    Rows of which nothing was typed are left for later.
    """

    def __init__(
        self, *args: Any, kind: str, sheet: Sheet, asked: Sequence[RowAsked], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.kind, self.sheet, self.asked = kind, sheet, asked
        before = sheet.newest(kind)
        _add_where(self, kind)
        figures = FORMS[kind].figures
        self.shared = [figure for figure in figures if figure.name in KEPT]
        for figure in self.shared:
            field = _field(figure)
            field.initial = before.values.get(figure.name) if before else None
            self.fields[figure.name] = field
        self._names: list[list[tuple[Figure, str]]] = []
        for index, row in enumerate(asked):
            mine = []
            for figure in figures:
                told = "clock_deg" in row.initial and figure.name in ("level_deg", "side")
                if figure.name in KEPT or told or figure.name == "joint":
                    continue
                name = f"row{index}-{figure.name}"
                field = _field(replace(figure, required=False, help=""))
                field.label = f"{row.words}: {figure.words}"
                field.initial = row.initial.get(figure.name)
                field.widget.attrs["aria-label"] = field.label
                if not figure.choices:
                    field.widget.attrs["size"] = 7
                self.fields[name] = field
                mine.append((figure, name))
            self._names.append(mine)

    @property
    def head(self) -> list[forms.BoundField]:
        """Fields that all rows share."""
        return [self[name] for name in self.fields if not name.startswith("row")]

    @property
    def columns(self) -> list[Figure]:
        """What every row asks."""
        return [figure for figure, _ in self._names[0]]

    @property
    def rows(self) -> list[tuple[str, list[tuple[str, forms.BoundField]]]]:
        """Each row's words, and its fields with the words of their columns."""
        return [
            (row.words, [(figure.words, self[name]) for figure, name in mine])
            for row, mine in zip(self.asked, self._names, strict=True)
        ]

    def clean_place(self) -> str:
        return _place(self.cleaned_data["place"])

    def clean(self) -> dict[str, Any]:
        value = super().clean() or self.cleaned_data
        used = self._used()
        for index in used:
            for figure, name in self._names[index]:
                if figure.required and value.get(name) in (None, "") and name not in self.errors:
                    self.add_error(name, _("This row is begun: fill it in, or empty it."))
        if not used and not self.errors:
            raise forms.ValidationError(_("Nothing was typed: fill in one row at least."))
        if not self.errors:
            for index, (reading, _label) in zip(used, self.readings(), strict=True):
                names = {figure.name: name for figure, name in self._names[index]}
                _check(self, self.sheet, reading, {f: f for f in self.fields} | names)
        return value

    def _used(self) -> list[int]:
        """Rows with more typed than what stood there."""
        found = []
        for index, mine in enumerate(self._names):
            given = self.asked[index].initial
            typed = [
                str(self.data.get(self.add_prefix(name), "")).strip()
                for figure, name in mine
                if figure.name not in given
            ]
            if any(typed):
                found.append(index)
        return found

    def readings(self) -> list[tuple[Reading, Values]]:
        """Every row that was filled, as the engine takes it and as it is kept."""
        value = self.cleaned_data
        shared = {
            figure.name: _kept(self, figure, figure.name)
            for figure in self.shared
            if value.get(figure.name) not in (None, "")
        }
        found = []
        for index in self._used():
            own = {
                figure.name: _kept(self, figure, name)
                for figure, name in self._names[index]
                if value.get(name) not in (None, "")
            }
            joint = self.asked[index].initial.get("joint")
            if joint:
                own["joint"] = {"typed": joint, "value": joint}
            kept = shared | own
            found.append((_reading(self.kind, kept, value), kept))
        return found


class LeaveOutForm(forms.Form):
    """Why a step is left out."""

    why = forms.CharField(
        label=_("Cannot be read here, because"),
        max_length=120,
        widget=forms.TextInput(attrs={"size": 30}),
    )


def _add_where(form: forms.Form, kind: str) -> None:
    """Place and pose, where the kind of reading has them."""
    asks = FORMS[kind]
    if asks.at_place:
        form.fields["place"] = forms.CharField(
            label=_("Spot"), max_length=80, widget=forms.TextInput(attrs={"list": "places"})
        )
    if asks.in_pose:
        form.fields["pose"] = forms.ChoiceField(label=_("Pose"), choices=list(POSES.items()))


def _place(typed: object) -> str:
    return " ".join(str(typed).split()).lower()


def _reading(kind: str, kept: Values, value: dict[str, Any]) -> Reading:
    figures = {name: one["value"] for name, one in kept.items()}
    return Reading(kind, figures, value.get("place", ""), value.get("pose") or STANDING)


def _kept(form: forms.Form, figure: Figure, name: str) -> Values:
    """A figure as it is kept: what was typed, the unit of it, and what it means."""
    typed = str(form.data.get(form.add_prefix(name), "")).strip()
    field, kept = form.fields[name], {"typed": typed, "value": form.cleaned_data[name]}
    unit = field.unit_of(typed) if isinstance(field, UnitField) else figure.unit
    return kept | ({"unit": unit} if unit else {})


def _check(form: forms.Form, sheet: Sheet, reading: Reading, names: dict[str, str]) -> None:
    """Put what a reading's form cannot give at its field."""
    try:
        sheet.check(reading)
    except BadReading as bad:
        reason = str(bad)
        form.add_error(names.get(bad.field), f"{capital(reason).rstrip('.')}.")


def _field(figure: Figure) -> forms.Field:
    about = _About(label=figure.words, required=figure.required, help_text=figure.help)
    if figure.choices:
        blank = [] if figure.required else [("", "–")]
        return forms.ChoiceField(
            choices=[*blank, *((word, word) for word in figure.choices)], **about
        )
    if figure.text:
        widget = forms.Textarea(attrs={"rows": 3, "spellcheck": "false"})
        if figure.name == "size":
            return forms.CharField(max_length=40, **about)
        return forms.CharField(max_length=LONGEST, widget=widget, **about)
    if figure.unit == "mm" or figure.name in RACK_ANGLES:
        angle = figure.unit != "mm"
        return UnitField(angle=angle, min_value=-FARTHEST, max_value=FARTHEST, **about)
    return NumberField(min_value=-FARTHEST, max_value=FARTHEST, **about)
