"""The lines of an order, and the note on its quote."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any, ClassVar, cast

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.models import Deposit, Line, LineKind, Part, ShopSettings, WorkOrder
from shop.models.texts import other_languages
from shop.outbox.services.server import has_server
from shop.site.amount_fields import DiscountField, MoneyField, PercentField, QuantityField
from shop.site.fields import AddressField, DateInput, field_of
from shop.site.joined_rows import JoinedRows
from shop.site.joining import JoinedForm, JoinedModelForm
from shop.site.text_fields import add_texts, take_texts


class LineForm(JoinedModelForm[Line]):
    """One line. What is left empty comes from the part, the hourly rate or the shop's tax."""

    quantity = QuantityField(required=False, min_value=Decimal(0), max_digits=8, decimal_places=2)
    unit_price = MoneyField(required=False, min_value=Decimal(0), max_digits=9, decimal_places=2)
    tax_rate = PercentField(
        required=False, min_value=Decimal(0), max_value=Decimal(100), max_digits=5, decimal_places=2
    )
    discount = DiscountField(label=_("Discount"))
    description = forms.CharField(required=False, max_length=200)

    class Meta:
        model = Line
        fields = (
            "kind",
            "part",
            "description",
            "work",
            "axle",
            "quantity",
            "unit_price",
            "tax_rate",
        )

    LABELS: ClassVar = {
        "kind": _("Kind"),
        "part": _("Part"),
        "description": _("Description"),
        "work": _("With cautions for"),
        "axle": _("Axle"),
        "quantity": _("Quantity"),
        "unit_price": _("Unit price"),
        "tax_rate": _("Tax, %"),
    }

    def __init__(
        self,
        *args: Any,
        shop: ShopSettings,
        languages: Sequence[tuple[str, str]] = (),
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.shop = shop
        self.languages = languages
        for name, label in self.LABELS.items():
            self.fields[name].label = label
        if self.instance.pk:
            self.initial["discount"] = self.instance.discount
        else:
            self.instance.with_tax = shop.prices_with_tax
        if self.instance.with_tax != shop.prices_with_tax:
            self.fields["unit_price"].label = (
                _("Price with tax") if self.instance.with_tax else _("Price without tax")
            )
        self.fields["discount"].help_text = _("For example 10 % or 15.00 €.")
        field_of(self, "part", forms.ModelChoiceField).empty_label = _("none")
        told = add_texts(self, ["description"], languages)
        self.order_fields(["kind", "part", "description", *told])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        part: Part | None = data.get("part")
        if part is not None:
            data["kind"] = LineKind.PART
            data["description"] = data.get("description") or part.name
            if data.get("axle") == "any":
                data["axle"] = part.axle
        if not data.get("description") and "description" not in self.errors:
            self.add_error("description", _("Enter a description or choose a part."))
        defaults = {
            "quantity": Decimal(1),
            "unit_price": part.price if part else self._labour_price(data),
            "tax_rate": self.shop.tax_rate,
        }
        for name, value in defaults.items():
            if data.get(name) is None and name not in self.errors:
                if value is None:
                    self.add_error(name, _("Enter the unit price."))
                data[name] = value
        take_texts(self, ["description"], self.languages)
        if "discount" in data:
            self.instance.discount = data["discount"]
        return data

    def _labour_price(self, data: dict[str, Any]) -> Decimal | None:
        return self.shop.hourly_rate if data.get("kind") == LineKind.LABOUR else None


class LineFormSet(JoinedRows[Line, LineForm]):
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
    """Rows for the lines of ``order`` and a few empty ones.

    Where the customer reads another language than the shop's own, each has room for it.
    """
    theirs = [choice for choice in other_languages() if choice[0] == order.customer.language]
    factory = forms.modelformset_factory(
        Line, form=LineForm, formset=LineFormSet, extra=4, can_delete=True
    )
    rows = factory(
        data,
        queryset=order.lines.select_related("part"),
        prefix="lines",
        form_kwargs={"shop": shop, "languages": theirs},
    )
    choices = [("", _("none")), *((part.pk, str(part)) for part in Part.objects.all())]
    for form in rows.forms:
        form.fields["part"].widget.choices = choices
        form.fields["DELETE"].label = _("Remove")
    return cast(LineFormSet, rows)


class OrderDiscountForm(JoinedForm, forms.Form):
    """The discount in all, below the lines."""

    discount = DiscountField(
        label=_("Discount in all"), help_text=_("For example 10 % or 15.00 €. Empty: none.")
    )


class QuoteForm(forms.Form):
    """The note, which options stand on the quote, and what was previewed."""

    note = forms.CharField(
        label=_("Note to the customer"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Printed above the signature."),
    )
    by_mail = forms.BooleanField(
        label=_("Send it by email, with the link and the PDF"), required=False
    )
    to = AddressField(label=_("Email address"), required=False)
    options = forms.MultipleChoiceField(
        label=_("Options that stand on the quote"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("Each with what it would fail, and its price."),
    )
    costs_nothing = forms.BooleanField(
        label=_("The parts without a price cost the customer nothing"), required=False
    )
    digest = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, order: WorkOrder, offered: Sequence[tuple[str, str]], **kwargs: Any
    ) -> None:
        """Without a mail server nothing is asked about email."""
        address = order.customer.email
        kwargs.setdefault("initial", {"by_mail": bool(address), "to": address})
        super().__init__(*args, **kwargs)
        if not has_server():
            del self.fields["by_mail"], self.fields["to"]
        self.unpriced = list(order.lines.filter(unit_price=0, kind=LineKind.PART))
        if not self.unpriced:
            del self.fields["costs_nothing"]
        if offered:
            field_of(self, "options", forms.MultipleChoiceField).choices = list(offered)
        else:
            del self.fields["options"]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if self.unpriced and "preview" not in self.data and not data.get("costs_nothing"):
            said = _("No price is recorded for: {names}. Enter one, or tick this.")
            names = "; ".join(line.description for line in self.unpriced)
            self.add_error("costs_nothing", said.format(names=names))
        if data.get("by_mail") and not data.get("to") and "to" not in self.errors:
            self.add_error("to", _("Enter the email address, or send the quote without email."))
        return data

    @property
    def mail_to(self) -> str:
        """The address to send to; empty for a quote that is passed on by hand."""
        data = self.cleaned_data
        return str(data.get("to", "")) if data.get("by_mail") else ""


class DepositForm(JoinedModelForm[Deposit]):
    """What was asked, and what came in."""

    asked = MoneyField(label=_("Asked"), min_value=Decimal("0.01"), max_digits=9, decimal_places=2)
    received = MoneyField(
        label=_("Received"),
        required=False,
        min_value=Decimal(0),
        max_digits=9,
        decimal_places=2,
        help_text=_("Empty until it came in."),
    )

    class Meta:
        model = Deposit
        fields = ("asked", "received", "received_on", "received_how", "note")
        widgets: ClassVar = {"received_on": DateInput()}

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("received") is None:
            data["received_on"], data["received_how"] = None, ""
        else:
            if not data.get("received_on") and "received_on" not in self.errors:
                self.add_error("received_on", _("Enter the day on which it was received."))
            if not data.get("received_how"):
                self.add_error("received_how", _("Choose how it was paid."))
        return data
