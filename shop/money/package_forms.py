"""Packages: choosing one for an order, and keeping them."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, cast

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.models import LineKind, Package, PackageLine
from shop.site.amount_fields import QuantityField
from shop.site.fields import field_of
from shop.site.joined_rows import JoinedRows
from shop.site.joining import JoinedModelForm


class PackageForm(forms.Form):
    """One package to add to an order's lines."""

    package = forms.ModelChoiceField(
        label=_("Package"), required=False, queryset=Package.objects.filter(in_use=True)
    )

    @property
    def has_any(self) -> bool:
        return Package.objects.filter(in_use=True).exists()


class PackageEditForm(JoinedModelForm[Package]):
    class Meta:
        model = Package
        fields = ("name", "planned", "in_use")


class PackageLineForm(JoinedModelForm[PackageLine]):
    """A part, or hours at the shop's rate; prices come from the part and the settings."""

    quantity = QuantityField(
        label=_("Quantity or hours"),
        required=False,
        min_value=Decimal(0),
        max_digits=8,
        decimal_places=2,
    )

    class Meta:
        model = PackageLine
        fields = ("kind", "part", "description", "work", "quantity")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field_of(self, "part", forms.ModelChoiceField).empty_label = _("none")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        part = data.get("part")
        if part is not None:
            data["kind"] = LineKind.PART
        elif not data.get("description") and "description" not in self.errors:
            self.add_error("description", _("Enter a description or choose a part."))
        if data.get("quantity") is None and "quantity" not in self.errors:
            data["quantity"] = Decimal(1)
        return data


class PackageLines(JoinedRows[PackageLine, PackageLineForm]):
    def kept(self) -> list[PackageLine]:
        """The lines to keep, in the order of the page."""
        return [
            form.save(commit=False)
            for form in self.forms
            if form not in self.deleted_forms and (form.instance.pk or form.has_changed())
        ]

    def gone(self) -> list[PackageLine]:
        return [form.instance for form in self.deleted_forms if form.instance.pk]


def package_lines(package: Package | None, data: Any = None) -> PackageLines:
    """Rows for the lines of a package and a few empty ones."""
    factory = forms.modelformset_factory(
        PackageLine, form=PackageLineForm, formset=PackageLines, extra=3, can_delete=True
    )
    lines = PackageLine.objects.filter(package=package) if package else PackageLine.objects.none()
    rows = factory(data, queryset=lines.select_related("part"), prefix="lines")
    for form in rows.forms:
        form.fields["DELETE"].label = _("Remove")
    return cast(PackageLines, rows)
