"""Wheel, tyre and spacer of each axle of an order."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django import forms
from django.utils.translation import gettext_lazy as _

from common.corners import AXLES
from fitment.fields.numbers import NumberField
from fitment.job.fitted import rim_mismatch
from fitment.models import OrderWheels, TyreModel, WheelModel
from shop.models import Axle
from shop.site.joining import JoinedForm

if TYPE_CHECKING:
    from shop.models import WorkOrder


class OrderWheelsForm(JoinedForm, forms.Form):
    """Wheel, tyre and spacer for both axles; an axle with nothing chosen stays as it is."""

    def __init__(self, *args: Any, order: WorkOrder, **kwargs: Any) -> None:
        self.order = order
        self.rows = {row.axle: row for row in OrderWheels.objects.filter(order=order)}
        super().__init__(*args, **kwargs)
        self.fieldsets = [(label, self._add(axle)) for axle, label in Axle.choices]

    def _add(self, axle: str) -> list[str]:
        row = self.rows.get(axle)
        self.fields[f"{axle}_wheel"] = forms.ModelChoiceField(
            WheelModel.every.for_order(self.order),
            label=_("Wheel"),
            required=False,
            initial=row.wheel_id if row else None,
            empty_label=_("not part of this order"),
        )
        self.fields[f"{axle}_tyre"] = forms.ModelChoiceField(
            TyreModel.every.for_order(self.order),
            label=_("Tyre"),
            required=False,
            initial=row.tyre_id if row else None,
            empty_label=_("not part of this order"),
        )
        self.fields[f"{axle}_spacer_mm"] = NumberField(
            label=_("Spacer, mm"),
            required=False,
            min_value=0,
            max_value=100,
            initial=row.spacer_mm if row else None,
            help_text=_("Empty means none."),
        )
        names = [f"{axle}_wheel", f"{axle}_tyre", f"{axle}_spacer_mm"]
        return names + self._add_state(axle, row)

    def _add_state(self, axle: str, row: OrderWheels | None) -> list[str]:
        """In which state the tyre is judged; a new one at rest if nothing is said."""
        for name, label, most, words in (
            ("worn_mm", "Tread worn off, mm", 12, "Empty: judged as new, when it is largest."),
            ("growth_mm", "Growth at speed, mm of radius", 12, "Empty: none."),
        ):
            self.fields[f"{axle}_{name}"] = NumberField(
                label=label,
                required=False,
                min_value=0,
                max_value=most,
                initial=(getattr(row, name) or None) if row else None,
                help_text=words,
            )
        self.fields[f"{axle}_largest_allowed"] = forms.BooleanField(
            label=_("Judge the largest tyre of this size that the standard allows"),
            required=False,
            initial=row.largest_allowed if row else False,
        )
        return [f"{axle}_worn_mm", f"{axle}_growth_mm", f"{axle}_largest_allowed"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for axle in AXLES:
            wheel, tyre = cleaned.get(f"{axle}_wheel"), cleaned.get(f"{axle}_tyre")
            spacer = cleaned.get(f"{axle}_spacer_mm")
            if wheel and not tyre:
                self.add_error(f"{axle}_tyre", _("Choose the tyre that goes on this wheel."))
            if not wheel and (tyre or spacer):
                self.add_error(f"{axle}_wheel", _("Choose the wheel that this belongs to."))
            if wheel and tyre and (why := rim_mismatch(wheel, tyre)):
                self.add_error(f"{axle}_tyre", why)
        return cleaned

    def choices(self) -> dict[str, OrderWheels | None]:
        """By axle, the unsaved row that was chosen, or None for no choice."""
        return {axle: self._choice(axle) for axle in AXLES}

    def _choice(self, axle: str) -> OrderWheels | None:
        wheel = self.cleaned_data.get(f"{axle}_wheel")
        if wheel is None:
            return None
        return OrderWheels(
            order=self.order,
            axle=axle,
            wheel=wheel,
            tyre=self.cleaned_data[f"{axle}_tyre"],
            spacer_mm=self.cleaned_data.get(f"{axle}_spacer_mm") or 0.0,
            worn_mm=self.cleaned_data.get(f"{axle}_worn_mm") or 0.0,
            growth_mm=self.cleaned_data.get(f"{axle}_growth_mm") or 0.0,
            largest_allowed=bool(self.cleaned_data.get(f"{axle}_largest_allowed")),
        )
