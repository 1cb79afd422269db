"""Forms of this car: how a corner stands now, and the gaps that were read there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from alignment.text.render import render
from common.message import Message
from fitment.clearance.present_car import TypedGap
from fitment.engine.findings import pose_of
from fitment.fields.numbers import NumberField
from fitment.job.car import camber_methods_in
from fitment.job.fitted import rim_mismatch
from fitment.models import PresentCorner, TyreModel, WheelModel
from fitment.text.labels import camber_method_text
from shop.site.fields import field_of
from shop.site.joining import JoinedForm

if TYPE_CHECKING:
    from fitment.clearance.present_car import Expected
    from fitment.engine.uncertainty.this_car import Expectation
    from fitment.models import CornerSurvey, GapRead
    from shop.models import WorkOrder

#: Empty rows for a place in a pose that the page does not offer by itself.
FREE_ROWS = 2


class PresentForm(JoinedForm, forms.Form):
    """The wheel on a corner of the car as it came, and how that corner is set."""

    wheel = forms.ModelChoiceField(WheelModel.objects.all(), label=_("Wheel on the car"))
    tyre = forms.ModelChoiceField(TyreModel.objects.all(), label=_("Tyre on it"))
    spacer_mm = NumberField(label=_("Spacer, mm"), required=False, min_value=0, max_value=100)
    worn_mm = NumberField(
        label=_("Tread worn off, mm"),
        required=False,
        min_value=0,
        max_value=12,
        help_text=_("New depth less what is left."),
    )
    toe_deg = NumberField(
        label=_("Toe of this wheel, °"),
        min_value=-5,
        max_value=5,
        help_text=_("As the rack reads it. Front edge in: positive."),
    )
    camber_deg = NumberField(
        label=_("Camber, °"),
        required=False,
        min_value=-10,
        max_value=10,
        help_text=_("Empty: as surveyed."),
    )
    camber_by = forms.ChoiceField(label=_("If it differs, made by"), required=False)
    ride_height_mm = NumberField(
        label=_("Height against the survey, mm"),
        required=False,
        min_value=-150,
        max_value=150,
        help_text=_("Hub to lip now, less hub to lip when surveyed; lower is negative."),
    )
    fieldsets: ClassVar = [
        (_("What is on it"), ["wheel", "tyre", "spacer_mm", "worn_mm"]),
        (_("How it stands"), ["toe_deg", "camber_deg", "camber_by", "ride_height_mm"]),
    ]

    def __init__(
        self,
        *args: Any,
        order: WorkOrder,
        survey: CornerSurvey,
        stands: PresentCorner | None,
        **kwargs: Any,
    ) -> None:
        initial: dict[str, Any] = {"toe_deg": survey.document["survey"]["setting"]["toe_deg"]}
        if stands is not None:
            initial = {name: getattr(stands, name) for name in self.base_fields}
        kwargs["initial"] = initial
        super().__init__(*args, **kwargs)
        wheels, tyres = (field_of(self, name, forms.ModelChoiceField) for name in ("wheel", "tyre"))
        wheels.queryset = WheelModel.every.for_order(order)
        tyres.queryset = TyreModel.every.for_order(order)
        camber_method = camber_methods_in(survey.document["suspension"])
        choices = [
            ("", _("nothing: as surveyed")),
            *((name, camber_method_text(name)) for name in camber_method),
        ]
        field_of(self, "camber_by", forms.ChoiceField).choices = choices

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        wheel, tyre = cleaned.get("wheel"), cleaned.get("tyre")
        if wheel and tyre and (why := rim_mismatch(wheel, tyre)):
            self.add_error("tyre", why)
        camber, camber_method = cleaned.get("camber_deg"), cleaned.get("camber_by")
        if camber is not None and not camber_method:
            self.add_error("camber_by", _("Say what made it differ, or leave the camber empty."))
        if camber_method and camber is None and "camber_deg" not in self.errors:
            self.add_error("camber_deg", _("Say what it reads, or choose “as surveyed”."))
        return cleaned

    def values(self) -> dict[str, Any]:
        """What was typed as fields of a PresentCorner."""
        zero = ("spacer_mm", "worn_mm", "ride_height_mm")
        return {
            name: 0.0 if name in zero and value is None else value
            for name, value in self.cleaned_data.items()
        }


@dataclass
class GapRow:
    """One line of the table: a place in a pose, what is expected, what was read."""

    place: str
    travel_mm: float
    steer_deg: float
    expected: Expectation | None
    left_out: Message | None
    read: GapRead | None
    gap: forms.BoundField
    sigma: forms.BoundField

    @property
    def pose(self) -> str:
        return render(pose_of(self.travel_mm, self.steer_deg))

    @property
    def off_mm(self) -> float | None:
        """What was read less what the model expects now."""
        if self.read is None or self.expected is None:
            return None
        return self.read.gap_mm - self.expected.gap_mm

    @property
    def is_explained(self) -> bool:
        """Whether the uncertainty of model and reading explains that difference."""
        return bool(self.read and self.expected and self.expected.explains(self.read.gap_mm))


class GapsForm(JoinedForm, forms.Form):
    """Gaps at every place standing and at both locks, those read elsewhere, and free rows."""

    def __init__(
        self, *args: Any, expected: Expected, read: Sequence[GapRead], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        limits = expected.corner.limits
        self._steers = limits.steer_in_deg > 0 or limits.steer_out_deg > 0
        self._keys = [(place, *pose) for pose in expected.poses for place in expected.places]
        by_key = {(row.place, row.travel_mm, row.steer_deg): row for row in read}
        self._keys += [key for key in by_key if key not in self._keys]
        for index, key in enumerate(self._keys):
            self._add(str(index), by_key.get(key), f"{key[0]}, {render(pose_of(*key[1:]))}")
        for index in range(FREE_ROWS):
            self._add_free(f"more{index}", expected.places)
        self.rows = [
            GapRow(
                *key,
                expected=expected.gap(*key),
                left_out=expected.left_out(*key),
                read=by_key.get(key),
                gap=self[f"gap_{index}"],
                sigma=self[f"sigma_{index}"],
            )
            for index, key in enumerate(self._keys)
        ]
        self.free = [
            {name: self[f"{name}_more{index}"] for name in FREE} for index in range(FREE_ROWS)
        ]

    def _add(self, key: str, read: GapRead | None, words: str) -> None:
        self.fields[f"gap_{key}"] = NumberField(
            label=_("Gap at the {spot}, mm").format(spot=words),
            required=False,
            min_value=0,
            max_value=300,
            initial=read.typed if read else None,
            widget=_in_table(_("Gap at the {spot}, mm").format(spot=words)),
        )
        self.fields[f"sigma_{key}"] = NumberField(
            label=_("Uncertainty at the {spot}, mm").format(spot=words),
            required=False,
            min_value=0.1,
            max_value=50,
            initial=read.sigma_mm if read else None,
            widget=_in_table(f"Uncertainty at the {words}, mm"),
        )

    def _add_free(self, key: str, places: Sequence[str]) -> None:
        self._add(key, None, "place of this line")
        choices = [("", "no other place"), *((place, place) for place in places)]
        self.fields[f"place_{key}"] = forms.ChoiceField(
            label=_("Spot"), choices=choices, required=False
        )
        self.fields[f"travel_{key}"] = NumberField(
            label=_("Travel from standing, mm"), required=False, min_value=-300, max_value=300
        )
        self.fields[f"steer_{key}"] = NumberField(
            label=_("Lock, °, front edge in positive"), required=False, min_value=-60, max_value=60
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        seen = {key for i, key in enumerate(self._keys) if cleaned.get(f"gap_{i}") is not None}
        for index in range(FREE_ROWS):
            key = f"more{index}"
            if (cleaned.get(f"gap_{key}") is None) != (not cleaned.get(f"place_{key}")):
                missing = "place" if not cleaned.get(f"place_{key}") else "gap"
                self.add_error(f"{missing}_{key}", _("Spot and gap belong together."))
                continue
            row = self._free_key(key)
            if row[0] and row[2] and not self._steers:
                self.add_error(f"steer_{key}", _("This wheel does not steer, by the survey."))
                continue
            if row[0] and row in seen:
                self.add_error(f"place_{key}", _("This spot is on the list already, in this pose."))
            seen.add(row)
        return cleaned

    def _free_key(self, key: str) -> tuple[str, float, float]:
        value = self.cleaned_data.get
        return (
            value(f"place_{key}") or "",
            value(f"travel_{key}") or 0.0,
            value(f"steer_{key}") or 0.0,
        )

    def gaps(self) -> list[TypedGap]:
        """Every gap that was read."""
        keys = {str(index): key for index, key in enumerate(self._keys)}
        keys |= {f"more{i}": self._free_key(f"more{i}") for i in range(FREE_ROWS)}
        return [
            TypedGap(
                place=place,
                gap_mm=self.cleaned_data[f"gap_{key}"],
                typed=str(self.data.get(f"gap_{key}", "")).strip(),
                travel_mm=travel,
                steer_deg=steer,
                sigma_mm=self.cleaned_data[f"sigma_{key}"],
            )
            for key, (place, travel, steer) in keys.items()
            if self.cleaned_data.get(f"gap_{key}") is not None
        ]


def _in_table(words: str) -> forms.TextInput:
    """An input whose label is the table's: the words are for those who do not see it."""
    return forms.TextInput(attrs={"inputmode": "decimal", "size": 6, "aria-label": words})


#: Fields of a free row, in the order in which they are typed.
FREE = ("place", "travel", "steer", "gap", "sigma")
