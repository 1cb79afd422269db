"""The form of what each axle is to be set to."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.fields.parsers import reader_of
from alignment.fields.plausibility import (
    Question,
    camber_questions,
    ride_height_questions,
    toe_questions,
)
from alignment.fields.unit_fields import TypedField, TypedForm
from alignment.geometry import units
from alignment.models import (
    Bushes,
    OrderTarget,
    PlannedSetting,
    Quantity,
    ToeUnit,
)
from alignment.plans.axle_fields import ADJUSTERS, TOLERANCES, axle_fields
from alignment.plans.services.plans import AxlePlan
from alignment.text.labels import ROD, ROD_PREFIX, RODS, axle_here, camber_method_text
from alignment.text.refusals import NEGATIVE, NO_CAMBER, NO_CAMBER_METHOD, NO_ROD, NO_TOE
from common.message import message
from common.numerals import short
from shop.languages import speech_of_page
from shop.models import Axle, WorkOrder

ROD_LINE = re.compile(r"(?P<name>.*\S)\s*[=:]\s*(?P<value>\S.*)")


class PlanForm(TypedForm):
    toe_unit = forms.ChoiceField(
        label=gettext_lazy("Toe without a unit is in"),
        choices=ToeUnit.choices,
        initial=ToeUnit.DEGREES,
        help_text=gettext_lazy("A unit typed with the number takes precedence."),
    )
    toe_diameter = TypedField(
        "length",
        label=gettext_lazy("Diameter where toe is measured, mm"),
        signed=False,
        help_text=gettext_lazy("Needed for toe in millimetres or inches."),
    )

    def __init__(
        self, *args: Any, order: WorkOrder, plans: list[PlannedSetting], **kwargs: Any
    ) -> None:
        self.order = order
        self.target = OrderTarget.objects.filter(order=order).select_related("sheet").first()
        self.plans = {plan.axle: plan for plan in plans}
        kwargs["initial"] = {**self._initial(), **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)
        for axle in Axle.values:
            for name, field in axle_fields(axle, self.plans.get(axle)).items():
                self.fields[f"{axle}_{name}"] = field
        if self.target is not None:
            self.fields["why"] = forms.CharField(
                label=_("Why the plan differs from the target sheet"),
                required=False,
                initial=self.target.reason,
                widget=forms.Textarea({"rows": 2}),
                help_text=_("Needed where it differs. Printed on the spec sheet."),
            )
        self.bind_read_back()

    def _initial(self) -> dict[str, Any]:
        initial: dict[str, Any] = {}
        for axle in Axle.values:
            plan = self.plans.get(axle)
            initial[f"{axle}_version"] = plan.version if plan else 0
            if plan is None:
                continue
            initial |= {f"{axle}_{name}": text for name, text in plan.typed.items()}
            initial[f"{axle}_camber_by"] = (
                ROD if plan.camber_by.startswith(ROD_PREFIX) else plan.camber_by
            )
            initial[f"{axle}_camber_rod"] = (
                plan.camber_by.removeprefix(ROD_PREFIX)
                if plan.camber_by.startswith(ROD_PREFIX)
                else ""
            )
            initial[f"{axle}_bushes"] = plan.bushes
            initial[f"{axle}_rolled_lips"] = plan.rolled_lips
            initial[f"{axle}_notes"] = plan.notes
            initial["toe_unit"] = plan.toe_unit
            if plan.toe_diameter_mm is not None:
                initial["toe_diameter"] = short(plan.toe_diameter_mm)
        return initial

    # ---- for the page

    @property
    def axles(self) -> list[dict[str, Any]]:
        """Bound fields of each axle: the main ones, those under "more", and if that is open."""
        main = ("camber", "camber_by", "camber_rod", "toe", "ride_height_mm", "bump_stop_mm")
        more = (
            "caster",
            *(name for name in ADJUSTERS if name not in main),
            "rods",
            "bushes",
            "rolled_lips",
            *TOLERANCES,
            "notes",
        )
        return [
            {
                "title": str(Axle(axle).label),
                "main": self._labelled(axle, main),
                "more": self._labelled(axle, more),
                "open": any(
                    f"{axle}_{name}" in self.errors
                    or (name not in TOLERANCES and self[f"{axle}_{name}"].value())
                    for name in more
                ),
            }
            for axle in Axle.values
        ]

    def _labelled(self, axle: str, names: tuple[str, ...]) -> list[tuple[Any, str, str]]:
        """Fields with their labels in two parts: under its heading the axle is not shown."""
        rest = f", {axle_here(axle)}"
        fields = [self[f"{axle}_{name}"] for name in names]
        return [(field, str(field.label).removesuffix(rest), rest) for field in fields]

    # ---- what was typed

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        diameter = self.read("toe_diameter", *reader_of("toe_diameter", "", None))
        self.diameter_mm = diameter.value if diameter else None
        self.asked: list[tuple[str | None, Question]] = []
        self.wanted = {axle: self._clean_axle(axle) for axle in Axle.values}
        self.ask(self.asked)
        return cleaned

    def versions(self) -> dict[str, int]:
        return {axle: self.cleaned_data.get(f"{axle}_version") or 0 for axle in Axle.values}

    def _clean_axle(self, axle: str) -> AxlePlan | None:
        numbers, typed = self._numbers(axle)
        rods = self._rods(axle, typed)
        camber_method = self._camber_method(axle, has_camber=bool(typed.get("camber")))
        notes = (self.cleaned_data.get(f"{axle}_notes") or "").strip()
        aimed = {k: v for k, v in typed.items() if k not in TOLERANCES}
        bushes = self.cleaned_data.get(f"{axle}_bushes") or ""
        rolled = bool(self.cleaned_data.get(f"{axle}_rolled_lips"))
        if not aimed and not camber_method and not notes and not bushes and not rolled:
            return None
        if not typed.get("toe"):
            self.add_error(f"{axle}_toe", NO_TOE)
        adjusters: dict[str, Any] = {
            name: numbers[name] for name in ADJUSTERS if numbers.get(name) is not None
        }
        if rods:
            adjusters[RODS] = rods
        self._ask_about(axle, numbers)
        tolerances = {
            f"{name}_deg": numbers[name] if numbers.get(name) is not None else default
            for name, default in TOLERANCES.items()
        }
        return AxlePlan(
            toe_deg=numbers.get("toe") or 0.0,
            camber_deg=numbers.get("camber"),
            camber_by=camber_method if numbers.get("camber") is not None else "",
            toe_unit=self.cleaned_data.get("toe_unit") or units.DEGREES,
            toe_diameter_mm=self.diameter_mm,
            caster_deg=numbers.get("caster"),
            adjusters=adjusters,
            bushes=bushes,
            rolled_lips=rolled,
            typed=typed,
            notes=notes,
            **tolerances,
        )

    def _numbers(self, axle: str) -> tuple[dict[str, float], dict[str, str]]:
        """Numbers understood and texts typed, by field name without the axle."""
        numbers: dict[str, float] = {}
        typed: dict[str, str] = {}
        toe_unit = self.cleaned_data.get("toe_unit") or units.DEGREES
        for name in ("camber", "toe", "caster", *ADJUSTERS, *TOLERANCES):
            field = self.fields[f"{axle}_{name}"]
            text = (self.cleaned_data.get(f"{axle}_{name}") or "").strip()
            if not text:
                continue
            typed[name] = text
            kind = field.kind if isinstance(field, TypedField) else name
            reader, say = reader_of(kind, toe_unit, self.diameter_mm)
            number = self.read(f"{axle}_{name}", reader, say)
            if number is None:
                continue
            if name in ("bump_stop_mm", *TOLERANCES) and number.value < 0:
                self.add_error(f"{axle}_{name}", NEGATIVE)
                continue
            numbers[name] = number.value
        return numbers, typed

    def _camber_method(self, axle: str, *, has_camber: bool) -> str:
        camber_method = self.cleaned_data.get(f"{axle}_camber_by") or ""
        rod = (self.cleaned_data.get(f"{axle}_camber_rod") or "").strip()
        if has_camber and not camber_method:
            self.add_error(f"{axle}_camber_by", NO_CAMBER_METHOD)
        elif camber_method and not has_camber:
            self.add_error(f"{axle}_camber", NO_CAMBER)
        elif camber_method == ROD and not rod:
            self.add_error(f"{axle}_camber_rod", NO_ROD)
        elif rod and camber_method != ROD:
            self.add_error(
                f"{axle}_camber_rod", _("A link is named, but camber is not set with a link.")
            )
        return f"{ROD_PREFIX}{rod}" if camber_method == ROD else camber_method

    def _rods(self, axle: str, typed: dict[str, str]) -> dict[str, float]:
        text = (self.cleaned_data.get(f"{axle}_rods") or "").strip()
        if not text:
            return {}
        typed["rods"] = text
        found: dict[str, float] = {}
        for line in filter(None, (line.strip() for line in text.splitlines())):
            parts = ROD_LINE.fullmatch(line)
            try:
                if parts is None:
                    raise units.NotUnderstood(
                        _("“{line}” is not a link. Type its name, =, and millimetres.").format(
                            line=line
                        )
                    )
                if parts["name"] in found:
                    raise units.NotUnderstood(
                        _("The link “{name}” is named twice.").format(name=parts["name"])
                    )
                found[parts["name"]] = units.parse_length(parts["value"]).value
            except units.NotUnderstood as refusal:
                self.add_error(f"{axle}_rods", str(refusal))
        return found

    def _ask_about(self, axle: str, numbers: dict[str, float]) -> None:
        where = message(f"axle.{axle}")
        found: list[Question] = []
        if "camber" in numbers:
            key = (axle, str(Quantity.CAMBER.value))
            found += camber_questions(key, numbers["camber"], where)
        if "toe" in numbers:
            text = self.cleaned_data[f"{axle}_toe"]
            unit = self.cleaned_data.get("toe_unit") or units.DEGREES
            toe = units.parse_toe(text, bare_unit=unit, diameter_mm=self.diameter_mm)
            key = (axle, str(Quantity.TOE.value))
            found += toe_questions(key, toe, where, unit, self.diameter_mm)
        if "ride_height_mm" in numbers:
            key = (axle, "ride_height_mm")
            found += ride_height_questions(key, numbers["ride_height_mm"], where)
        self.asked += [(f"{axle}_{question.fields[0][1]}", question) for question in found]

    def meet(self, standing: list[PlannedSetting]) -> None:
        """Show what another person saved beside the form's texts; the next save overwrites it."""
        now = {plan.axle: plan for plan in standing}
        self.theirs = []
        empty, speech = _("empty"), speech_of_page()
        for axle in Axle.values:
            plan = now.get(axle)
            typed = dict(plan.typed) if plan else {}
            for name in ("camber", "toe", "caster", *ADJUSTERS, "rods"):
                mine = (self.cleaned_data.get(f"{axle}_{name}") or "").strip()
                if mine != typed.get(name, ""):
                    label = str(self.fields[f"{axle}_{name}"].label)
                    self.theirs.append((label, typed.get(name, "") or empty, mine or empty))
            by = plan.camber_by if plan else ""
            mine_by = self.wanted[axle].camber_by if self.wanted[axle] else ""  # type: ignore[union-attr]
            if by != mine_by:
                label = str(self.fields[f"{axle}_camber_by"].label)
                self.theirs.append(
                    (
                        label,
                        camber_method_text(by, speech) or empty,
                        camber_method_text(mine_by, speech) or empty,
                    )
                )
            bushes = plan.bushes if plan else ""
            mine_bushes = self.cleaned_data.get(f"{axle}_bushes") or ""
            if bushes != mine_bushes:
                words = {value: str(label) for value, label in Bushes.choices}
                label = str(self.fields[f"{axle}_bushes"].label)
                self.theirs.append((label, words.get(bushes, empty), words.get(mine_bushes, empty)))
            rolled = bool(plan and plan.rolled_lips)
            mine_rolled = bool(self.cleaned_data.get(f"{axle}_rolled_lips"))
            if rolled != mine_rolled:
                label = str(self.fields[f"{axle}_rolled_lips"].label)
                said = {True: _("rolled"), False: _("not rolled")}
                self.theirs.append((label, said[rolled], said[mine_rolled]))
            self.put(f"{axle}_version", str(plan.version if plan else 0))
