"""The form of the try-out: one axle's set-up from plain address parameters."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from alignment.fields.parsers import reader_of
from alignment.geometry import units
from alignment.text.refusals import NO_CAMBER, NO_CAMBER_METHOD, NO_TOE
from fitment.engine.solid.designation import BadSize, size_of
from fitment.fields.numbers import NumberField
from fitment.job.car import Car
from fitment.job.fitted import rim_mismatch
from fitment.models import TyreModel, WheelModel
from fitment.text.labels import camber_method_text
from fitment.tryout.data import SetUp
from fitment.tryout.services.trial import state_of
from shop.models import Use
from shop.site.fields import field_of

#: Kinds by which typed angles and lengths are read.
KINDS = {"camber": "camber", "toe": "toe", "height": "change", "packer": "length"}


class TryoutForm(forms.Form):
    """Wheel, tyre, means and settings of one axle. ``car`` decides which means there are.

    Every field keeps a place for its errors, which a change swaps without touching the field.
    """

    wheel = forms.ModelChoiceField(
        WheelModel.objects.all(), label=_("Wheel"), empty_label=_("Choose a wheel")
    )
    tyre = forms.ModelChoiceField(
        TyreModel.objects.all(),
        label=_("Tyre"),
        required=False,
        empty_label=_("A size of its own, below"),
    )
    size = forms.CharField(
        label=_("Or a standard size"),
        required=False,
        max_length=24,
        help_text=_("For example 235/40R18: nominal, since no such tyre was measured."),
    )
    spacer = NumberField(label=_("Spacer, mm"), required=False, min_value=0, max_value=100)
    camber = forms.CharField(
        label=_("Camber, °"), required=False, max_length=40, help_text=_("Minus is top inboard.")
    )
    by = forms.ChoiceField(label=_("Camber set with"), required=False)
    toe = forms.CharField(
        label=_("Toe per wheel, °"), required=False, max_length=40, help_text=_("Plus is toe-in.")
    )
    height = forms.CharField(
        label=_("Ride height, mm"),
        required=False,
        max_length=40,
        help_text=_("Against the survey. Lowering is negative: -15."),
    )
    packer = forms.CharField(
        label=_("Packer, mm"),
        required=False,
        max_length=40,
        help_text=_("As wheel travel that it takes away."),
    )
    lips = forms.BooleanField(
        label=_("Arch lips rolled"),
        required=False,
        help_text=_("Only where the survey says how far a lip turns in."),
    )

    def __init__(self, *args: Any, car: Car, axle: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.car, self.axle = car, axle
        wheels, tyres = (field_of(self, name, forms.ModelChoiceField) for name in ("wheel", "tyre"))
        wheels.queryset = WheelModel.every.for_order(car.order)
        tyres.queryset = TyreModel.every.for_order(car.order)
        by = self.fields["by"]
        if isinstance(by, forms.ChoiceField):
            offered = [(name, camber_method_text(name)) for name in car.camber_method(axle)]
            by.choices = [("", _("not set by camber")), *offered]
        for name, field in self.fields.items():
            ids = [f"{self[name].auto_id}_helptext"] if field.help_text else []
            field.widget.attrs |= {
                "aria-describedby": " ".join([*ids, f"{self[name].auto_id}_slot"]),
                "autocomplete": "off",
            }
        self.set_up: SetUp | None = None

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        tyre, size = cleaned.get("tyre"), (cleaned.get("size") or "").strip().upper()
        wheel = cleaned.get("wheel")
        if "tyre" in cleaned and tyre is None and not size:
            self.add_error("tyre", _("Choose a tyre, or type a size."))
        if tyre is None and size and not _is_size(size):
            self.add_error("size", _("“{size}” is not a size like 235/40R18.").format(size=size))
        elif (
            wheel and (tyre or size) and (why := rim_mismatch(wheel, tyre or TyreModel(size=size)))
        ):
            self.add_error("tyre" if tyre else "size", why)
        numbers = {name: self._read(name) for name in KINDS}
        if not self.errors.get("camber") and not self.errors.get("by"):
            if numbers["camber"] is not None and not cleaned.get("by"):
                self.add_error("by", NO_CAMBER_METHOD)
            elif numbers["camber"] is None and cleaned.get("by"):
                self.add_error("camber", NO_CAMBER)
        if numbers["toe"] is None and not self.errors.get("toe"):
            self.add_error("toe", NO_TOE)
        if (numbers["packer"] or 0.0) < 0:
            self.add_error("packer", _("Must be zero or more."))
        if not self.errors and wheel is not None:
            self.set_up = self._made(wheel, tyre, size, numbers)
        return cleaned

    def _made(
        self,
        wheel: WheelModel,
        tyre: TyreModel | None,
        size: str,
        numbers: Mapping[str, float | None],
    ) -> SetUp:
        row, plan = self.car.wheels.get(self.axle), self.car.plans.get(self.axle)
        return SetUp(
            axle=self.axle,
            wheel=wheel,
            tyre=tyre,
            size="" if tyre else size,
            spacer_mm=self.cleaned_data.get("spacer") or 0.0,
            camber_deg=numbers["camber"],
            camber_by=self.cleaned_data.get("by") or "",
            toe_deg=numbers["toe"] or 0.0,
            ride_height_mm=numbers["height"],
            bump_stop_mm=numbers["packer"],
            adjusters=plan.adjusters if plan else {},
            state=state_of(row),
            rolled_lips=bool(self.cleaned_data.get("lips")),
        )

    def _read(self, name: str) -> float | None:
        text = (self.cleaned_data.get(name) or "").strip()
        if not text:
            return None
        try:
            return reader_of(KINDS[name], units.DEGREES, None)[0](text).value
        except units.NotUnderstood as refusal:
            self.add_error(name, str(refusal))
            return None

    def tell(self, problems: tuple[tuple[str, str], ...]) -> None:
        """Put what the engine refuses at the fields that it comes from."""
        for name, sentence in problems:
            self.add_error(name if name in self.fields else None, sentence)


def _is_size(text: str) -> bool:
    try:
        size_of(text)
    except BadSize:
        return False
    return True


def use_of(text: str, default: str) -> str:
    """The use that an address asks for."""
    return text if text in Use.values else default
