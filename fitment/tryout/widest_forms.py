"""What a caller says of a car: which, how high, how much camber."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from alignment.fields.parsers import reader_of
from alignment.geometry import units
from alignment.text.render import render
from common.message import Told
from fitment.engine.solid.typed import read_wheel
from fitment.fields.catalogue_names import Catalogue, CatalogueField
from fitment.models import WheelModel
from fitment.tryout.data import typed_wheel_row
from fitment.tryout.services.widest import cars_named
from shop.models import Axle, CarModel, Use
from shop.site.fields import field_of

KINDS = {"camber": "camber", "height": "change"}


class WidestForm(forms.Form):
    """Four questions; wheel and use are asked for aside."""

    car = CatalogueField(label=_("Car"), required=True, help_text=_("Plate or car model."))
    axle = forms.ChoiceField(
        label=_("Axle"), choices=Axle.choices, initial=Axle.REAR, widget=forms.RadioSelect
    )
    height = forms.CharField(
        label=_("Ride height, mm"),
        required=False,
        max_length=40,
        help_text=_("Against the survey. Lowering is negative: -15. Empty: as surveyed."),
    )
    camber = forms.CharField(
        label=_("Camber, °"),
        required=False,
        max_length=40,
        help_text=_("Minus is top inboard. Empty: as the car stands."),
    )
    wheel = CatalogueField(
        label=_("Wheel"),
        help_text=_("Empty: any wheel of the catalogue that fits. Or typed: 9.5x18 ET35."),
    )
    use = forms.ChoiceField(label=_("Use"), choices=Use.choices, initial=Use.STREET)
    aside: ClassVar = ["wheel", "use"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.wheels = Catalogue.of(WheelModel.objects.all())
        measured = CarModel.objects.filter(surveys__isnull=False).distinct()
        names = {"car": [str(row) for row in measured], "wheel": self.wheels.names}
        for name, offered in names.items():
            field = field_of(self, name, CatalogueField)
            field.offered = offered
            field.widget.attrs["list"] = f"{self[name].auto_id}_offered"
        self.fields["car"].widget.attrs["autofocus"] = True
        for field_ in self.fields.values():
            field_.widget.attrs["autocomplete"] = "off"
        #: Cars that are meant, where they are several.
        self.several: list[CarModel] = []

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name in KINDS:
            cleaned[f"{name}_read"] = self._read(name)
        self._car(cleaned)
        self._wheel(cleaned)
        return cleaned

    def _car(self, cleaned: dict[str, Any]) -> None:
        text = cleaned.get("car")
        if not text:
            return
        found = cars_named(text)
        if len(found) == 1:
            cleaned["car_model"] = found[0]
        elif found:
            self.several = found
            self.add_error("car", gettext("Several cars are meant: choose one."))
        else:
            said = gettext("No car model and no plate is “{text}”.")
            self.add_error("car", said.format(text=text))

    def _wheel(self, cleaned: dict[str, Any]) -> None:
        text = (cleaned.get("wheel") or "").strip()
        cleaned["wheel_row"], cleaned["wheel_typed"] = None, ""
        if not text:
            return
        row = self.wheels.row(text)
        if row is not None:
            cleaned["wheel_row"] = row
            return
        try:
            typed = read_wheel(text)
        except Told as why:
            self.add_error("wheel", render(why.message))
            return
        cleaned["wheel_row"], cleaned["wheel_typed"] = typed_wheel_row(typed), typed.notation

    def _read(self, name: str) -> float | None:
        text = (self.cleaned_data.get(name) or "").strip()
        if not text:
            return None
        try:
            return reader_of(KINDS[name], units.DEGREES, None)[0](text).value
        except units.NotUnderstood as refusal:
            self.add_error(name, str(refusal))
            return None
