"""Forms of a work order: the wish, the lines, the signature, the booking."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any, ClassVar

from django import forms
from django.utils import timezone

from shop.languages import speech_of
from shop.models import (
    Bay,
    Line,
    LineKind,
    OrderKind,
    Part,
    Quote,
    Role,
    ShopSettings,
    User,
    WaitingFor,
    WorkOrder,
)
from shop.site.fields import CommaDecimalField, DateInput, TimeInput


class OrderForm(forms.ModelForm):
    """The wish of one customer for one vehicle, in the order in which people tell it."""

    fieldsets: ClassVar = [
        ("The wish", ["kind", "request_text", "use", "class_rules", "class_record"]),
        ("The car today", ["mileage_km", "moves_wheel_or_height"]),
    ]

    class Meta:
        model = WorkOrder
        fields = (
            "kind",
            "request_text",
            "use",
            "class_rules",
            "class_record",
            "mileage_km",
            "moves_wheel_or_height",
        )
        widgets: ClassVar = {"request_text": forms.Textarea(attrs={"rows": 4})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["class_record"].empty_label = "none, or none that is on record"
        kind = self.fields["kind"]
        kept = {OrderKind.COMEBACK} if self.instance.kind == OrderKind.COMEBACK else set()
        if kept:
            del self.fields["kind"]
        else:
            kind.choices = [c for c in OrderKind.choices if c[0] != OrderKind.COMEBACK]
        self.fields[
            "moves_wheel_or_height"
        ].help_text = "Then the room is checked before parts are ordered and the job is booked."


class MoveForm(forms.Form):
    """A reason, where the move wants one."""

    reason = forms.CharField(
        label="Why",
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="The reason stays in the log.",
    )

    def __init__(self, *args: Any, wants_reason: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"].required = wants_reason


class HandOverForm(MoveForm):
    """The last look: a remark, and what the customer wants on the spec sheet."""

    curves = forms.BooleanField(
        label="Print the curves of camber and toe over travel on the spec sheet", required=False
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, wants_reason=False, **kwargs)
        self.fields[
            "reason"
        ].label = "Remark, or a manager's reason where the road test found contact"


class WaitForm(forms.Form):
    waiting_for = forms.ChoiceField(
        label="Waiting for", choices=WaitingFor.choices, required=False, widget=forms.RadioSelect
    )


class NotesForm(forms.Form):
    technician_notes = forms.CharField(
        label="Notes for the staff",
        required=False,
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text="Never shown to the customer.",
    )


class OverrideForm(forms.Form):
    digest = forms.CharField(widget=forms.HiddenInput)
    reason = forms.CharField(
        label="Why the job goes on all the same",
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="It stays on record with your name and stands on the spec sheet.",
    )


class LineForm(forms.ModelForm):
    """One line. What is left empty comes from the part, the hourly rate or the shop's tax."""

    quantity = CommaDecimalField(
        required=False, min_value=Decimal(0), max_digits=8, decimal_places=2
    )
    unit_price = CommaDecimalField(
        required=False, min_value=Decimal(0), max_digits=9, decimal_places=2
    )
    tax_rate = CommaDecimalField(
        required=False, min_value=Decimal(0), max_value=Decimal(100), max_digits=5, decimal_places=2
    )
    description = forms.CharField(required=False, max_length=200)

    class Meta:
        model = Line
        fields = ("kind", "part", "description", "axle", "quantity", "unit_price", "tax_rate")

    LABELS: ClassVar = {
        "kind": "Kind",
        "part": "Part",
        "description": "Description",
        "axle": "Axle",
        "quantity": "Quantity",
        "unit_price": "Price of one",
        "tax_rate": "Tax, %",
    }

    def __init__(self, *args: Any, shop: ShopSettings, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.shop = shop
        for name, label in self.LABELS.items():
            self.fields[name].label = label
        self.fields["part"].empty_label = "none"

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        part: Part | None = data.get("part")
        if part is not None:
            data["kind"] = LineKind.PART
            data["description"] = data.get("description") or part.name
            if data.get("axle") == "any":
                data["axle"] = part.axle
        if not data.get("description") and "description" not in self.errors:
            self.add_error("description", "Say what is done, or choose a part.")
        defaults = {
            "quantity": Decimal(1),
            "unit_price": part.price if part else self._labour_price(data),
            "tax_rate": self.shop.tax_rate,
        }
        for name, value in defaults.items():
            if data.get(name) is None and name not in self.errors:
                if value is None:
                    self.add_error(name, "Say what one costs.")
                data[name] = value
        return data

    def _labour_price(self, data: dict[str, Any]) -> Decimal | None:
        return self.shop.hourly_rate if data.get("kind") == LineKind.LABOUR else None


class LineFormSet(forms.BaseModelFormSet):
    def lines(self) -> list[Line]:
        """The lines to keep, in the order of the page."""
        kept = []
        for form in self.forms:
            if form in self.deleted_forms or (not form.instance.pk and not form.has_changed()):
                continue
            kept.append(form.save(commit=False))
        return kept

    def gone(self) -> list[Line]:
        return [form.instance for form in self.deleted_forms if form.instance.pk]


def line_formset(order: WorkOrder, shop: ShopSettings, data: Any = None) -> LineFormSet:
    """Rows for the lines of ``order`` and a few empty ones."""
    factory = forms.modelformset_factory(
        Line, form=LineForm, formset=LineFormSet, extra=4, can_delete=True
    )
    rows = factory(
        data,
        queryset=order.lines.select_related("part"),
        prefix="lines",
        form_kwargs={"shop": shop},
    )
    choices = [("", "none"), *((part.pk, str(part)) for part in Part.objects.all())]
    for form in rows.forms:
        form.fields["part"].widget.choices = choices
        form.fields["DELETE"].label = "Remove"
    return rows


class QuoteForm(forms.Form):
    note = forms.CharField(
        label="Note to the customer",
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Stands on the letter above the signature.",
    )


class AuthoriseForm(forms.Form):
    """The customer's signature: a name, a tick, and the sum that was read."""

    amount = forms.DecimalField(widget=forms.HiddenInput, max_digits=11, decimal_places=2)
    name = forms.CharField(max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"}))
    signed_warning = forms.BooleanField(required=False)
    agree = forms.BooleanField()

    def __init__(self, *args: Any, quote: Quote, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"amount": quote.total})
        super().__init__(*args, **kwargs)
        speech = speech_of(quote.order)
        name, agree = self.fields["name"], self.fields["agree"]
        name.label = speech.say("Your full name")
        name.error_messages["required"] = speech.say("Please write your full name.")
        agree.error_messages["required"] = speech.say("Please tick that you authorise the work.")
        if quote.signature_needed:
            self.fields["signed_warning"].label = speech.say(
                "I have read the warning above and want the work all the same"
            )
        else:
            del self.fields["signed_warning"]
        total = speech.money(quote.total, quote.currency)
        agree.label = speech.say(
            "I authorise the work of this letter for {total}, and have read what it says about "
            "class rules"
            if quote.class_caution
            else "I authorise the work of this letter for {total}",
            total=total,
        )


class BookingForm(forms.Form):
    """A bay, a technician and a block of time of one day."""

    day = forms.DateField(widget=DateInput())
    starts = forms.TimeField(label="From", widget=TimeInput())
    ends = forms.TimeField(label="To", widget=TimeInput())
    bay = forms.ModelChoiceField(queryset=Bay.objects.filter(in_use=True), empty_label="choose")
    technician = forms.ModelChoiceField(queryset=User.objects.none(), empty_label="choose")
    needs_rack = forms.BooleanField(label="Needs the alignment rack", required=False)

    fieldsets: ClassVar = [
        ("When", ["day", "starts", "ends"]),
        ("Where and who", ["needs_rack", "bay", "technician"]),
    ]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        technicians = User.objects.filter(is_active=True)
        self.fields["technician"].queryset = technicians.filter(
            role__in=[Role.TECHNICIAN, Role.MANAGER]
        )
        bay = self.fields["bay"]
        bay.label_from_instance = lambda b: f"{b.name} (rack)" if b.has_rack else b.name

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if all(data.get(name) is not None for name in ("day", "starts", "ends")):
            data["starts_at"] = _moment(data["day"], data["starts"])
            data["ends_at"] = _moment(data["day"], data["ends"])
        return data


def _moment(day: dt.date, time: dt.time) -> dt.datetime:
    return timezone.make_aware(dt.datetime.combine(day, time))
