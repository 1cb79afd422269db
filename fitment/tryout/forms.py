"""The form of the try-out: one axle's set-up from plain address parameters."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from alignment.fields.parsers import reader_of
from alignment.geometry import units
from alignment.text.refusals import NO_CAMBER, NO_CAMBER_METHOD
from alignment.text.render import render
from common.message import Told
from fitment.engine.solid.typed import TypedTyre, read_tyre, read_wheel
from fitment.fields.catalogue_names import Catalogue, CatalogueField
from fitment.fields.numbers import NumberField
from fitment.job.car import Car
from fitment.job.fitted import rim_mismatch
from fitment.models import TyreModel, WheelModel
from fitment.text.labels import camber_method_text
from fitment.tryout.data import SetUp, typed_tyre_row, typed_wheel_row
from fitment.tryout.services.trial import state_of
from fitment.tryout.services.usual import usual_toe
from shop.models import Use
from shop.site.fields import field_of

#: Fields that take a row of the catalogue or what people type.
CHOSEN = ("wheel", "tyre")

#: Kinds by which typed angles and lengths are read.
KINDS = {"camber": "camber", "toe": "toe", "height": "change", "packer": "length"}


class TryoutForm(forms.Form):
    """Wheel, tyre, means and settings of one axle. ``car`` decides which means there are.

    Every field keeps a place for its errors, which a change swaps without touching the field.
    """

    wheel = CatalogueField(
        label=_("Wheel"), help_text=_("From the catalogue, or as it is marked: 9.5x18 ET35.")
    )
    tyre = CatalogueField(
        label=_("Tyre"),
        help_text=_("From the catalogue, or as on the sidewall: 245/40 ZR18 97Y, then nominal."),
    )
    spacer = NumberField(label=_("Spacer, mm"), required=False, min_value=0, max_value=100)
    camber = forms.CharField(
        label=_("Camber, °"), required=False, max_length=40, help_text=_("Minus is top inboard.")
    )
    by = forms.ChoiceField(label=_("Camber set with"), required=False)
    toe = forms.CharField(
        label=_("Toe per wheel, °"),
        required=False,
        max_length=40,
        help_text=_("Plus is toe-in. Empty: as planned, else as the target, else 0.00°."),
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

    def __init__(
        self, data: Mapping[str, str] | None = None, *, car: Car, axle: str, **kwargs: Any
    ) -> None:
        self.wheels = Catalogue.of(WheelModel.every.for_order(car.order))
        self.tyres = Catalogue.of(TyreModel.every.for_order(car.order))
        prefix = f"{kwargs['prefix']}-" if kwargs.get("prefix") else ""
        data = None if data is None else self._as_shown(data, prefix)
        kwargs["initial"] = self._as_shown(kwargs.get("initial") or {}, "")
        super().__init__(data, **kwargs)
        self.car, self.axle = car, axle
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
        for name, names in zip(CHOSEN, (self.wheels.names, self.tyres.names), strict=True):
            field_of(self, name, CatalogueField).offered = names
            self.fields[name].widget.attrs["list"] = f"{self[name].auto_id}_offered"
        self.set_up: SetUp | None = None
        #: What was not said and how it is taken, a sentence each.
        self.taken: list[str] = []

    def _as_shown(self, data: Mapping[str, str], prefix: str) -> dict[str, str]:
        """Parameters with the names of rows in place of their numbers; a size of its own is what
        an address of earlier days says of a tyre."""
        shown = dict(data)
        wheel, tyre = (f"{prefix}{name}" for name in CHOSEN)
        if not shown.get(tyre):
            shown[tyre] = shown.get(f"{prefix}size", "")
        shown[wheel] = self.wheels.shown(shown.get(wheel) or "")
        shown[tyre] = self.tyres.shown(shown[tyre] or "")
        return shown

    def kept(self, name: str, data: Mapping[str, str]) -> str:
        """What an address holds of a field, by the field's own name."""
        full = self.add_prefix(name)
        if name not in CHOSEN:
            return data.get(full, "")
        shown = self._as_shown(data, full.removesuffix(name))[full]
        return self.wheels.kept(shown) if name == "wheel" else self.tyres.kept(shown)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        wheel, wheel_typed = self._wheel((cleaned.get("wheel") or "").strip())
        tyre, typed = self._tyre((cleaned.get("tyre") or "").strip())
        worn = tyre or (typed and typed_tyre_row(typed))
        if wheel and worn and (why := rim_mismatch(wheel, worn)):
            self.add_error("tyre", why)
        numbers = {name: self._read(name) for name in KINDS}
        if not self.errors.get("camber") and not self.errors.get("by"):
            if numbers["camber"] is not None and not cleaned.get("by"):
                self.add_error("by", NO_CAMBER_METHOD)
            elif numbers["camber"] is None and cleaned.get("by"):
                self.add_error("camber", NO_CAMBER)
        if (numbers["packer"] or 0.0) < 0:
            self.add_error("packer", _("Must be zero or more."))
        if not self.errors and wheel is not None and worn is not None:
            self.set_up = replace(
                self._made(wheel, tyre, numbers),
                size=typed.size if typed else "",
                wheel_typed=wheel_typed,
                tyre_typed=typed.notation if typed else "",
            )
        return cleaned

    def _wheel(self, text: str) -> tuple[WheelModel | None, str]:
        """The wheel that a text names or says, and what was typed of one that is in no list."""
        if not text:
            self.add_error("wheel", _("Choose a wheel, or type one: 9.5x18 ET35."))
            return None, ""
        row = self.wheels.row(text)
        if row is not None:
            return row, ""
        try:
            typed = read_wheel(text)
        except Told as why:
            self.add_error("wheel", render(why.message))
            return None, ""
        return typed_wheel_row(typed), typed.notation

    def wheel_of(self, text: str) -> WheelModel | None:
        """The wheel of an address; None where it names none."""
        row = self.wheels.row(self.wheels.shown(text))
        if row is not None or not text:
            return row
        try:
            return typed_wheel_row(read_wheel(text))
        except Told:
            return None

    def _tyre(self, text: str) -> tuple[TyreModel | None, TypedTyre | None]:
        """The same of a tyre."""
        if not text:
            self.add_error("tyre", _("Choose a tyre, or type its size: 245/40 R18."))
            return None, None
        row = self.tyres.row(text)
        if row is not None:
            return row, None
        try:
            return None, read_tyre(text)
        except Told as why:
            self.add_error("tyre", render(why.message))
            return None, None

    def _made(
        self, wheel: WheelModel, tyre: TyreModel | None, numbers: Mapping[str, float | None]
    ) -> SetUp:
        row, plan = self.car.wheels.get(self.axle), self.car.plans.get(self.axle)
        toe = numbers["toe"]
        if toe is None:
            toe, words = usual_toe(self.car, self.axle)
            self.taken.append(words)
        return SetUp(
            axle=self.axle,
            wheel=wheel,
            tyre=tyre,
            size="",
            spacer_mm=self.cleaned_data.get("spacer") or 0.0,
            camber_deg=numbers["camber"],
            camber_by=self.cleaned_data.get("by") or "",
            toe_deg=toe,
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


def use_of(text: str, default: str) -> str:
    """The use that an address asks for."""
    return text if text in Use.values else default
