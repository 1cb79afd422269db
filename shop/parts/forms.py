"""Ordering parts, the parts that are on order, and suppliers."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any, ClassVar, cast

from django import forms
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from shop.models import PartOrder, Supplier, WorkOrder
from shop.orders.services.part_orders import LineDue
from shop.parts.services import Arrived, Bought
from shop.site.fields import CommaDecimalField, DateInput, field_of
from shop.site.joined_rows import JoinedRows
from shop.site.joining import JoinedModelForm

#: Days that a promise or an arrival may have: others are slips of the hand.
YEARS = range(2000, 2101)


def _plausible(day: dt.date | None) -> dt.date | None:
    if day is not None and day.year not in YEARS:
        raise forms.ValidationError(_("Enter a day between the years 2000 and 2100."))
    return day


class OrderLineForm(forms.Form):
    """One line that is to be ordered. Everything may stay empty."""

    later = forms.BooleanField(label=_("Not yet"), required=False)
    supplier = forms.ModelChoiceField(
        label=_("Supplier"), queryset=Supplier.objects.none(), required=False, empty_label=_("none")
    )
    supplier_number = forms.CharField(
        label=_("Supplier's order number"), max_length=60, required=False
    )
    promised_on = forms.DateField(label=_("Promised for"), required=False, widget=DateInput())

    def __init__(self, *args: Any, due: LineDue, **kwargs: Any) -> None:
        kwargs["prefix"] = f"line-{due.line.pk}"
        super().__init__(*args, **kwargs)
        if due.line.part is not None:
            self.fields["supplier"].initial = due.line.part.supplier_id
        self.due = due
        field_of(self, "supplier", forms.ModelChoiceField).queryset = Supplier.objects.filter(
            in_use=True
        )

    def clean_promised_on(self) -> dt.date | None:
        return _plausible(self.cleaned_data["promised_on"])

    @property
    def bought(self) -> Bought:
        data = self.cleaned_data
        return Bought(data["supplier"], data["supplier_number"], data["promised_on"])


def order_line_forms(due: Sequence[LineDue], data: Any = None) -> list[OrderLineForm]:
    return [OrderLineForm(data, due=one) for one in due]


class PartOrderForm(JoinedModelForm[PartOrder]):
    """One part order: what the supplier said, and what has just arrived of it."""

    not_joined = ("arrived", "arrived_on")

    arrived = CommaDecimalField(
        label=_("Arrived now"), required=False, max_digits=8, decimal_places=2
    )
    arrived_on = forms.DateField(label=_("Arrived on"), required=False, widget=DateInput())

    class Meta:
        model = PartOrder
        fields = ("supplier", "supplier_number", "promised_on")
        widgets: ClassVar = {"promised_on": DateInput()}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["arrived_on"].initial = timezone.localdate()
        supplier = field_of(self, "supplier", forms.ModelChoiceField)
        supplier.empty_label = _("none")
        supplier.queryset = Supplier.objects.filter(
            Q(in_use=True) | Q(pk=self.instance.supplier_id)
        )

    def clean_promised_on(self) -> dt.date | None:
        return _plausible(self.cleaned_data["promised_on"])

    def clean_arrived_on(self) -> dt.date | None:
        return _plausible(self.cleaned_data["arrived_on"])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        pieces, day = data.get("arrived"), data.get("arrived_on")
        if pieces is None:
            return data
        if pieces <= 0:
            self.add_error("arrived", _("Must be more than zero."))
        elif pieces > self.instance.outstanding:
            outstanding = f"{self.instance.outstanding.normalize():f}"
            self.add_error("arrived", _("Only {number} still to come.").format(number=outstanding))
        if day is None and "arrived_on" not in self.errors:
            self.add_error("arrived_on", _("Enter the day of arrival."))
        elif day is not None and day > timezone.localdate():
            self.add_error("arrived_on", _("This day lies ahead."))
        return data


class PartOrderRows(JoinedRows[PartOrder, PartOrderForm]):
    """All part orders of one order."""

    def changed(self) -> list[PartOrder]:
        """Part orders of which the supplier, the number or the promised day changed."""
        named = set(PartOrderForm.Meta.fields)
        return [form.save(commit=False) for form in self.forms if named & set(form.changed_data)]

    def arrived(self) -> list[Arrived]:
        return [
            Arrived(form.instance, form.cleaned_data["arrived"], form.cleaned_data["arrived_on"])
            for form in self.forms
            if form.cleaned_data.get("arrived") is not None
        ]


def part_order_rows(order: WorkOrder, data: Any = None) -> PartOrderRows:
    """A row for each part order of ``order``."""
    factory = forms.modelformset_factory(
        PartOrder, form=PartOrderForm, formset=PartOrderRows, extra=0
    )
    made = order.part_orders.select_related("supplier", "ordered_by", "part")
    rows = factory(data, queryset=made.prefetch_related("arrivals"), prefix="parts")
    return cast(PartOrderRows, rows)


class SupplierForm(JoinedModelForm[Supplier]):
    class Meta:
        model = Supplier
        fields = ("name", "phone", "email", "customer_number", "notes", "in_use")
        widgets: ClassVar = {
            "notes": forms.Textarea(attrs={"rows": 3}),
            "phone": forms.TextInput(attrs={"type": "tel"}),
        }
