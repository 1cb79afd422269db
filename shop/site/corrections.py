"""Forms of records that decide whether a wheel can be mounted: a correction gives its reason."""

from __future__ import annotations

from typing import Any, ClassVar, TypeVar

from django import forms
from django.db import transaction
from django.db.models import Model
from django.utils.translation import gettext_lazy as _

from common.shortened import shortened
from shop.models import RecordCorrection, User
from shop.site.joining import JoinedModelForm

#: What a form is about.
Row = TypeVar("Row", bound=Model)


class CorrectionForm(JoinedModelForm[Row]):
    """A model form in which a figure on record is replaced only with a reason.

    ``corrected`` names the fields that decide whether something can be mounted. Filling in what
    was empty is no correction. ``by`` is who saves; the old figure, the new one, the reason and
    the name are kept in the transaction that saves the record.
    """

    corrected: ClassVar[tuple[str, ...]] = ()
    fieldsets: ClassVar[Any] = ()

    def __init__(self, *args: Any, by: User | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.by = by
        self.corrections: list[RecordCorrection] = []
        if self.instance.pk:
            self.fields["why"] = forms.CharField(
                label=_("Reason for a correction"),
                required=False,
                max_length=1000,
                widget=forms.Textarea(attrs={"rows": 2}),
                help_text=_("Needed where a figure of the mounting is replaced. Kept on record."),
            )
            # The class lists its groups; this form of it has one more.
            vars(self)["fieldsets"] = [*self.fieldsets, (_("Correction"), ["why"])]

    @property
    def earlier_corrections(self) -> list[RecordCorrection]:
        """What was corrected on this record before, the newest first."""
        return list(RecordCorrection.objects.of(self.instance)) if self.instance.pk else []

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        self.corrections = self._replaced(cleaned) if self.instance.pk else []
        if self.corrections and not str(cleaned.get("why") or "").strip():
            names = ", ".join(one.label for one in self.corrections)
            self.add_error("why", _("Enter why this is corrected: %(names)s.") % {"names": names})
        return cleaned

    def _replaced(self, cleaned: dict[str, Any]) -> list[RecordCorrection]:
        before = type(self.instance)._default_manager.get(pk=self.instance.pk)
        found = []
        for name in self.corrected:
            old, new = getattr(before, name), cleaned.get(name)
            if name not in cleaned or old in (None, "") or old == new:
                continue
            found.append(
                RecordCorrection(
                    record=self.instance._meta.label_lower,
                    record_pk=self.instance.pk,
                    field=name,
                    label=str(self.fields[name].label or name),
                    old=_text(old),
                    new=_text(new),
                    why=str(cleaned.get("why") or "").strip(),
                    by=self.by,
                )
            )
        return found

    @transaction.atomic
    def save(self, commit: bool = True) -> Any:
        saved = super().save(commit)
        if commit:
            RecordCorrection.objects.bulk_create(self.corrections)
        return saved


def _text(value: object) -> str:
    return "" if value is None else shortened(str(value), 200)
