"""The choice of the record that is kept when two are merged."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.models import Customer, Vehicle
from shop.site.typed_forms import ModelChoiceField


class _Kept(ModelChoiceField[Any]):
    def label_from_instance(self, obj: Customer | Vehicle) -> str:
        if isinstance(obj, Vehicle):
            return ", ".join(filter(None, [str(obj), obj.vin, str(obj.customer)]))
        vehicles = [str(vehicle) for vehicle in obj.vehicles.unmerged()]
        return ", ".join(filter(None, [obj.name, obj.phone, obj.email, *vehicles]))


class MergeForm(forms.Form):
    """Which of the records that were found is kept."""

    def __init__(
        self, *args: Any, gone: Customer | Vehicle, found: Iterable[Customer | Vehicle], **kw: Any
    ) -> None:
        super().__init__(*args, **kw)
        keys = {row.pk for row in found} - {gone.pk}
        self.fields["kept"] = _Kept(
            type(gone)._default_manager.filter(pk__in=keys),
            label=_("Keep this record"),
            widget=forms.RadioSelect,
            empty_label=None,
            help_text=_("Orders, vehicles and readings move to it. Nothing is deleted."),
        )
