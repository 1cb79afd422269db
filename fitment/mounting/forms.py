"""Forms of how wheels are held, and of the law that the shop follows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext_lazy as _

from common.corners import AXLES
from fitment.engine.mounting.facts import thread_of
from fitment.engine.mounting.law import CHOICES, FIGURES_ASKED, Figure, Law
from fitment.fields.numbers import NumberField
from fitment.models import OrderMounting
from shop.models import Axle
from shop.models.mounting import NutForm, Seat
from shop.site.joining import JoinedForm

if TYPE_CHECKING:
    from shop.models import WorkOrder


class OrderMountingForm(JoinedForm, forms.Form):
    """Rings, and other nuts, bolts or studs than the car's own, for both axles."""

    def __init__(self, *args: Any, order: WorkOrder, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.order = order
        rows = {row.axle: row for row in OrderMounting.objects.filter(order=order)}
        self.fieldsets = [(label, self._add(axle, rows.get(axle))) for axle, label in Axle.choices]

    def _add(self, axle: str, row: OrderMounting | None) -> list[str]:
        def initial(name: str) -> Any:
            return getattr(row, name) if row else None

        length_help = "Stud: what stands out of the hub face. Bolt: its shank under the seat."
        fields: dict[str, forms.Field] = {
            "ring_outer_mm": NumberField(
                label=_("Ring outside, mm"), required=False, min_value=30, max_value=150
            ),
            "ring_inner_mm": NumberField(
                label=_("Ring inside, mm"), required=False, min_value=30, max_value=150
            ),
            "seat": forms.ChoiceField(
                label=_("Seat of nuts or bolts"),
                required=False,
                choices=[("", "the car's own"), *Seat.choices],
            ),
            "thread": forms.CharField(
                label=_("Thread"),
                required=False,
                max_length=20,
                help_text=_("Empty: the car's own"),
            ),
            "length_mm": NumberField(
                label=_("Length of stud or bolt, mm"),
                required=False,
                min_value=1,
                max_value=150,
                help_text=length_help,
            ),
            "nut_form": forms.ChoiceField(
                label=_("Form of the nuts"),
                required=False,
                choices=[("", _("the car's own")), *NutForm.choices],
            ),
            "nut_depth_mm": NumberField(
                label=_("Depth of a closed nut, mm"),
                required=False,
                min_value=1,
                max_value=100,
                help_text=_("From the seat to the inside end."),
            ),
        }
        for name, field in fields.items():
            field.initial = initial(name)
            self.fields[f"{axle}_{name}"] = field
        return [f"{axle}_{name}" for name in fields]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for axle in AXLES:
            outer, inner = (
                cleaned.get(f"{axle}_ring_outer_mm"),
                cleaned.get(f"{axle}_ring_inner_mm"),
            )
            if (outer is None) != (inner is None):
                missing = "outer" if outer is None else "inner"
                self.add_error(f"{axle}_ring_{missing}_mm", _("A ring has two diameters."))
            elif outer is not None and inner is not None and outer <= inner:
                self.add_error(f"{axle}_ring_outer_mm", _("A ring is larger outside than inside."))
            thread = cleaned.get(f"{axle}_thread", "")
            if thread and thread_of(thread) is None:
                self.add_error(f"{axle}_thread", _("Write it like M12×1.5 or 1/2-20."))
        return cleaned

    def values(self, axle: str) -> dict[str, Any]:
        """What was entered for one axle, by field of ``OrderMounting``."""
        return {name: self.cleaned_data[f"{axle}_{name}"] for name in OrderMounting.HELD_BY}


class LawForm(JoinedForm, forms.Form):
    """Every figure that a law or a practice may set, with its source; empty sets nothing."""

    def __init__(self, *args: Any, law: Law, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        groups: dict[str, list[str]] = {}
        for key, asked in FIGURES_ASKED.items():
            figure = law.get(key)
            unit = f", {asked.unit}" if asked.unit else ""
            self.fields[key] = self._figure(key, f"{asked.words}{unit}")
            self.fields[key].initial = figure.value if figure else None
            self.fields[f"{key}_source"] = forms.CharField(
                label=_("Source of “{figure}”").format(figure=asked.words.lower()),
                required=False,
                max_length=160,
                initial=figure.source if figure else "",
            )
            groups.setdefault(asked.group, []).extend([key, f"{key}_source"])
        self.fieldsets = list(groups.items())

    def _figure(self, key: str, label: str) -> forms.Field:
        """A number, or a choice where the figure stands for one."""
        if key in CHOICES:
            choices = [("", "nothing asked"), *CHOICES[key].items()]
            return forms.TypedChoiceField(
                label=label, required=False, choices=choices, coerce=float, empty_value=None
            )
        asked = FIGURES_ASKED[key]
        return NumberField(label=label, required=False, min_value=asked.low, max_value=asked.high)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for key in FIGURES_ASKED:
            value, source = cleaned.get(key), cleaned.get(f"{key}_source", "").strip()
            if value is not None and not source:
                self.add_error(f"{key}_source", _("Name the document, or say that it is practice."))
            if value is None and source and key not in self.errors:
                self.add_error(key, _("A source without a figure."))
        ahead, behind = cleaned.get("cover_ahead_deg"), cleaned.get("cover_behind_deg")
        if (ahead is None) != (behind is None):
            missing = "cover_ahead_deg" if ahead is None else "cover_behind_deg"
            self.add_error(missing, _("An arc has two ends."))
        return cleaned

    def law(self) -> dict[str, Figure]:
        """The figures that were entered."""
        return {
            key: Figure(self.cleaned_data[key], self.cleaned_data[f"{key}_source"].strip())
            for key in FIGURES_ASKED
            if self.cleaned_data.get(key) is not None
        }
