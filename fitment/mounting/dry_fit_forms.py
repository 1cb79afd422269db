"""The form of a dry fit."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from common.corners import AXLES
from fitment.models import DryFit
from fitment.models.dry_fits import Looked
from shop.models import Axle
from shop.site.fields import field_of
from shop.site.typed_forms import ModelForm

HELP = {
    "brake": _("One wheel on the hub, two nuts by hand: turn it a whole turn and look."),
    "hardware": _("Weights inside the barrel, hose brackets, the handbrake's cable."),
    "sensor": _("Its valve and body against the caliper, over a whole turn."),
    "lock": _("Both ways, with the wheel on: nothing hard stops it. Rear axle: not on this car."),
}


class DryFitForm(ModelForm[DryFit]):
    """One axle; each question is answered, unless the wheels were on the car already."""

    class Meta:
        model = DryFit
        fields = ("axle", "on_car", *DryFit.ASKED, "note")
        widgets: ClassVar = dict.fromkeys(("axle", *DryFit.ASKED), forms.RadioSelect)

    def __init__(self, *args: Any, axles: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        labels = dict(Axle.choices)
        choices = [(axle, labels[axle]) for axle in AXLES if axle in axles]
        field_of(self, "axle", forms.ChoiceField).choices = choices
        if len(choices) == 1:
            self.fields["axle"].initial = choices[0][0]
        for name in DryFit.ASKED:
            field_of(self, name, forms.ChoiceField).choices = Looked.choices
            self.fields[name].help_text = HELP[name]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not data.get("on_car"):
            for name in DryFit.ASKED:
                if not data.get(name) and name not in self.errors:
                    self.add_error(name, _("Look there, and choose one."))
        return data
