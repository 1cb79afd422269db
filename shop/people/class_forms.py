"""The form of a class record and its rules."""

from __future__ import annotations

from typing import Any, ClassVar, cast

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.models import BARRED, ClassRecord, ClassRule, PartKind, RuleKind
from shop.models.vehicles import ADJUSTERS
from shop.site.fields import CommaFloatField, DateInput, field_of
from shop.site.joined_rows import JoinedRows
from shop.site.joining import JoinedModelForm


class ClassRecordForm(JoinedModelForm[ClassRecord]):
    fieldsets: ClassVar = [
        (_("Class"), ["name", "season"]),
        (_("Source of the rules"), ["source", "dated", "notes"]),
    ]

    class Meta:
        model = ClassRecord
        fields = ("name", "season", "source", "dated", "notes")
        widgets: ClassVar = {"notes": forms.Textarea(attrs={"rows": 2}), "dated": DateInput()}


class ClassRuleForm(JoinedModelForm[ClassRule]):
    """One rule: a limit, or something that is barred."""

    limit = CommaFloatField(required=False)
    adjuster = forms.ChoiceField(required=False, choices=[("", _("none")), *ADJUSTERS[1:]])
    part = forms.ChoiceField(required=False, choices=[("", _("none")), *PartKind.choices])

    class Meta:
        model = ClassRule
        fields = ("kind", "axle", "limit", "wording", "paragraph")

    LABELS: ClassVar = {
        "paragraph": _("Paragraph"),
        "wording": _("Text of the rule"),
        "kind": _("What it limits"),
        "axle": _("Axle"),
        "limit": _("Limit"),
        "adjuster": _("Adjuster"),
        "part": _("Kind of part"),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, label in self.LABELS.items():
            self.fields[name].label = label
            self.fields[name].widget.attrs["aria-label"] = label
        field_of(self, "kind", forms.ChoiceField).choices = [("", _("choose")), *RuleKind.choices]
        item = self.instance.item
        self.initial["adjuster"] = item if self.instance.kind == RuleKind.ADJUSTER_BARRED else ""
        self.initial["part"] = item if self.instance.kind == RuleKind.PART_BARRED else ""

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        kind = data.get("kind")
        if kind in BARRED:
            name = "adjuster" if kind == RuleKind.ADJUSTER_BARRED else "part"
            if not data.get(name):
                self.add_error(name, _("Choose what is barred."))
            data["limit"], self.instance.item = None, data.get(name) or ""
        elif kind:
            self.instance.item = ""
            if data.get("limit") is None and "limit" not in self.errors:
                self.add_error("limit", _("Enter the limit."))
        return data


class ClassRuleFormSet(JoinedRows[ClassRule, ClassRuleForm]):
    def save_rules(self, record: ClassRecord) -> None:
        """Write the rules in the order of the page, and take away those that were ticked off."""
        for form in self.deleted_forms:
            if form.instance.pk:
                form.instance.delete()
        position = 0
        for form in self.forms:
            if form in self.deleted_forms or not (form.instance.pk or form.has_changed()):
                continue
            rule = form.save(commit=False)
            rule.record, rule.position = record, position
            rule.save()
            position += 1


def rule_formset(record: ClassRecord | None, data: Any = None) -> ClassRuleFormSet:
    """Rows for the rules of ``record`` and a few empty ones."""
    factory = forms.modelformset_factory(
        ClassRule, form=ClassRuleForm, formset=ClassRuleFormSet, extra=4, can_delete=True
    )
    rules = record.rules.all() if record else ClassRule.objects.none()
    rows = cast(ClassRuleFormSet, factory(data, queryset=rules, prefix="rules"))
    for form in rows.forms:
        form.fields["DELETE"].label = _("Remove")
    return rows
