"""Forms of tyres and wheels that the shop measured."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from common.units import MM_PER_INCH
from fitment.catalogue.wheel_pools import pooled_document
from fitment.engine.solid.pooled_wheels import MeasuredWheel, pooled_wheel
from fitment.fields.model_forms import NumberModelForm, part_problems
from fitment.fields.numbers import RowsField
from fitment.models import TyreMeasurement, TyreModel, WheelMeasurement, WheelModel
from shop.languages.figures import fixed
from shop.site.fields import DateInput

#: Fields of a measurement by the key that they have in a check file.
TYRE_KEYS = {
    "measuring_rim_in": "rim_in",
    "section_width_mm": "width_mm",
    "overall_diameter_mm": "diameter_mm",
    "tread_width_mm": "tread_mm",
    "shoulder_drop_mm": "shoulder_mm",
    "profile": "profile",
}
READ = ("width_mm", "diameter_mm", "tread_mm", "shoulder_mm", "profile")


class MeasurementForm(NumberModelForm[TyreMeasurement]):
    """One mounted tyre: at least one reading, on a named rim."""

    profile = RowsField(
        columns=("axial from the centre plane", "radius"),
        required=False,
        label=_("Traced section"),
        help_text=_(
            "One point a line from the outboard bead over the crown to the inboard bead: "
            "axial from the centre plane, then radius, in mm."
        ),
    )
    fieldsets: ClassVar = [
        (_("The tyre on its rim"), ["rim_in", "width_mm", "diameter_mm"]),
        (_("Its shoulders"), ["tread_mm", "shoulder_mm", "profile"]),
        (_("When"), ["measured_on", "note"]),
    ]

    class Meta:
        model = TyreMeasurement
        fields = (
            "rim_in",
            "width_mm",
            "diameter_mm",
            "tread_mm",
            "shoulder_mm",
            "profile",
            "measured_on",
            "note",
        )
        widgets: ClassVar = {"measured_on": DateInput()}

    def __init__(self, *args: Any, tyre: TyreModel, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.tyre = tyre
        self.fields["width_mm"].help_text = "Callipers across the widest part, at its pressure."
        self.fields["diameter_mm"].help_text = "The tape round the crown, divided by 3.1416."
        self.fields["note"].help_text = "For example: new, cold, 2.4 bar"

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if self.errors:
            return cleaned
        if not any(cleaned.get(name) for name in READ):
            raise forms.ValidationError(_("Nothing was read yet: give at least one measure."))
        document: dict[str, Any] = {"size": self.tyre.size}
        for key, name in TYRE_KEYS.items():
            if cleaned.get(name) not in (None, []):
                document[key] = cleaned[name]
        if "section_width_mm" not in document:
            document.pop("measuring_rim_in", None)
        for problem in part_problems(document, "tyre"):
            key = problem.path.split(".")[0].split("[")[0]
            self.add_error(TYRE_KEYS.get(key), f"{problem.message}.")
        return cleaned


#: Fields of a measured wheel by the key that they have in a check file.
WHEEL_KEYS = {
    "width_mm": "width_mm",
    "flange_mm": "flange_mm",
    "offset_mm": "back_mm",
    "barrel_mm": "barrel_radius_mm",
    "spoke_back": "spoke_back",
}
WHEEL_READ = (
    "width_mm",
    "flange_mm",
    "back_mm",
    "offset_mm",
    "barrel_radius_mm",
    "pad_mm",
    "spoke_back",
)
#: How far a measured offset may lie from the marked one before it is questioned, mm.
OFFSET_OFF_MM = 6.0


class WheelMeasurementForm(NumberModelForm[WheelMeasurement]):
    """One wheel without its tyre: at least one reading."""

    spoke_back = RowsField(
        columns=("axial from the mounting face", "radius"),
        required=False,
        label=_("Back of the spokes"),
        help_text=_(
            "One point a line from the hub outwards: axial from the mounting face, outboard "
            "positive, then radius, in mm."
        ),
    )
    fieldsets: ClassVar = [
        (_("The rim"), ["width_mm", "flange_mm", "barrel_radius_mm"]),
        (_("Where it sits"), ["back_mm", "offset_mm", "pad_mm"]),
        (_("The spokes"), ["spoke_back"]),
        (_("When"), ["measured_on", "note"]),
    ]

    class Meta:
        model = WheelMeasurement
        fields = (*WHEEL_READ, "measured_on", "note")
        widgets: ClassVar = {"measured_on": DateInput()}

    def __init__(self, *args: Any, wheel: WheelModel, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.wheel = wheel
        for name, words in {
            "width_mm": "Callipers between the inner faces of the flanges, where the beads sit.",
            "flange_mm": "From the inner face of a flange to its outer edge.",
            "barrel_radius_mm": "Half the inside diameter of the barrel, where the brake runs.",
            "back_mm": "Straightedge across the inboard edge, tape to the mounting face.",
            "offset_mm": "Only if it was read on a jig; otherwise give the back spacing.",
            "pad_mm": "From the mounting face to the seat of the nuts.",
            "note": "For example: one of four, straightened",
        }.items():
            self.fields[name].help_text = words

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if self.errors:
            return cleaned
        if not any(cleaned.get(name) not in (None, []) for name in WHEEL_READ):
            raise forms.ValidationError(_("Nothing was read yet: give at least one measure."))
        if cleaned.get("back_mm") is not None and cleaned.get("offset_mm") is not None:
            self.add_error("offset_mm", _("Give the offset or the back spacing, not both."))
            return cleaned
        self._hold_against_the_wheel(cleaned)
        return cleaned

    def _hold_against_the_wheel(self, cleaned: dict[str, Any]) -> None:
        """A reading that is no wheel of this size is refused at its field, with the reason."""
        wheel = self.wheel
        one = MeasuredWheel(
            trace=tuple((a, r) for a, r in cleaned.get("spoke_back") or ()),
            **{name: cleaned.get(name) for name in WHEEL_READ if name != "spoke_back"},
        )
        whole = pooled_wheel(
            [one], width_mm=MM_PER_INCH * wheel.width_in, flange_mm=wheel.flange_mm
        )
        if whole is None:
            return
        known = pooled_document(whole, seat_mm=wheel.seat_diameter_mm / 2)["wheel"]
        plain = WheelModel(
            diameter_in=wheel.diameter_in,
            width_in=wheel.width_in,
            offset_mm=wheel.offset_mm,
            flange_mm=wheel.flange_mm,
        )
        for problem in part_problems(plain.as_document(spacer_mm=0.0) | known, "wheel"):
            key = problem.path.split(".")[0].split("[")[0]
            self.add_error(WHEEL_KEYS.get(key), f"{problem.message}.")
        offset = known.get("offset_mm")
        if offset is not None and abs(offset - wheel.offset_mm) > OFFSET_OFF_MM:
            read = "back_mm" if one.offset_mm is None else "offset_mm"
            self.add_error(
                read,
                f"This makes the offset {fixed(offset, 1)} mm; the wheel is marked "
                f"ET{wheel.offset_mm:g}. Read it again, or correct the wheel.",
            )
