"""The form of what each axle is to be set to."""

from __future__ import annotations

import re
from typing import Any

from django import forms

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
    CAMBER_TOLERANCE_DEG,
    CASTER_TOLERANCE_DEG,
    TOE_TOLERANCE_DEG,
    Bushes,
    OrderTarget,
    PlanAxle,
    PlannedSetting,
    Quantity,
    ToeUnit,
)
from alignment.plans.services import AxlePlan
from alignment.text.labels import ADJUSTER_LABELS, MEANS, ROD, ROD_PREFIX, RODS, camber_method_text
from shop.models import WorkOrder
from shop.orders.cautions import ROLLING_CAUTION

NO_MEANS = "Say how this camber is to be reached: the same figure leaves different room. "
NO_MEANS += "A longer lower arm pushes the bottom of the wheel out, a top mount takes its top in."
NO_CAMBER = "Means are chosen but no camber. Type the camber, or take the means away."
NO_TOE = "An axle that is set needs its toe, per wheel. Zero is a setting."
NO_ROD = "Say which rod, by its name in the survey."

ADJUSTERS = tuple(name for name in ADJUSTER_LABELS if name != "toe_link_mm")
TOLERANCES = {
    "camber_tolerance": CAMBER_TOLERANCE_DEG,
    "toe_tolerance": TOE_TOLERANCE_DEG,
    "caster_tolerance": CASTER_TOLERANCE_DEG,
}
ROD_LINE = re.compile(r"(?P<name>.*\S)\s*[=:]\s*(?P<value>\S.*)")


class PlanForm(TypedForm):
    toe_unit = forms.ChoiceField(
        label="Toe without a unit is in",
        choices=ToeUnit.choices,
        initial=ToeUnit.DEGREES,
        help_text="A unit typed with the number always wins.",
    )
    toe_diameter = TypedField(
        "length",
        label="Diameter where toe is measured, mm",
        signed=False,
        help_text="Needed for toe in millimetres or inches.",
    )

    def __init__(
        self, *args: Any, order: WorkOrder, plans: list[PlannedSetting], **kwargs: Any
    ) -> None:
        self.order = order
        self.target = OrderTarget.objects.filter(order=order).select_related("sheet").first()
        self.plans = {plan.axle: plan for plan in plans}
        kwargs["initial"] = {**self._initial(), **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)
        for axle in PlanAxle.values:
            self._add_axle(axle)
        if self.target is not None:
            self.fields["why"] = forms.CharField(
                label="Why the plan differs from the target sheet",
                required=False,
                initial=self.target.reason,
                widget=forms.Textarea({"rows": 2}),
                help_text="Needed where it differs. It stands on the spec sheet.",
            )
        self.bind_read_back()

    def _initial(self) -> dict[str, Any]:
        initial: dict[str, Any] = {}
        for axle in PlanAxle.values:
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
                initial["toe_diameter"] = f"{plan.toe_diameter_mm:g}"
        return initial

    def _add_axle(self, axle: str) -> None:
        where = str(PlanAxle(axle).label).lower()
        camber_method = [
            ("", "Nothing: camber is left as it comes"),
            *((word, label) for word, label, _ in MEANS),
        ]
        plan = self.plans.get(axle)
        by = plan.camber_by if plan else ""
        if by and not by.startswith(ROD_PREFIX) and by not in dict(camber_method):
            camber_method.append((by, camber_method_text(by)))
        fields: dict[str, forms.Field] = {
            "camber": TypedField(
                "camber", label=f"Camber, {where}", help_text="Minus is top inboard."
            ),
            "camber_by": forms.ChoiceField(
                label=f"Reached by, {where}", choices=camber_method, required=False
            ),
            "camber_rod": forms.CharField(
                label=f"Name of the rod, {where}",
                required=False,
                max_length=50,
                help_text="Only when one rod of a multi-link axle sets the camber.",
            ),
            "toe": TypedField(
                "toe",
                label=f"Toe per wheel, {where}",
                help_text="Plus is toe-in. Half of total toe.",
            ),
            "caster": TypedField("caster", label=f"Caster to aim at, {where}"),
        }
        for name in ADJUSTERS:
            label, unit = ADJUSTER_LABELS[name]
            shown = "°" if unit == "deg" else "mm"
            fields[name] = TypedField(
                "sai" if unit == "deg" else "change", label=f"{label}, {shown}, {where}"
            )
        fields["ride_height_mm"].help_text = "Against the survey. Lowering is negative: -15."
        fields["bump_stop_mm"].help_text = "As wheel travel that it takes away."
        fields["rods"] = forms.CharField(
            label=f"Rods made longer or shorter, {where}",
            required=False,
            max_length=400,
            widget=forms.Textarea({"rows": 2}),
            help_text="One a line, in millimetres: upper front = -1.5",
        )
        fields["bushes"] = forms.ChoiceField(
            label=f"Bushes, give under side load, {where}",
            choices=[("", "As the survey has it"), *Bushes.choices],
            required=False,
            help_text="An assumption with its own doubt, in place of what was measured on the "
            "pattern, or where nobody measured it.",
        )
        fields["rolled_lips"] = forms.BooleanField(
            label=f"Fender lips rolled, {where}",
            required=False,
            help_text=f"Where the survey says how far a lip turns in. {ROLLING_CAUTION}",
        )
        for name, default in TOLERANCES.items():
            label = name.removesuffix("_tolerance").capitalize()
            fields[name] = TypedField(
                "accuracy", label=f"{label} tolerance, ± °, {where}", signed=False
            )
            fields[name].initial = f"{default:g}"
        fields["notes"] = forms.CharField(
            label=f"Notes, {where}", required=False, widget=forms.Textarea({"rows": 2})
        )
        fields["version"] = forms.IntegerField(widget=forms.HiddenInput, required=False)
        for name, field in fields.items():
            self.fields[f"{axle}_{name}"] = field

    # ---- for the page

    @property
    def axles(self) -> list[dict[str, Any]]:
        """Bound fields of each axle: the main ones, those under "more", and what is open."""
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
                "title": str(PlanAxle(axle).label),
                "main": self._labelled(axle, main),
                "more": self._labelled(axle, more),
                "open": any(
                    f"{axle}_{name}" in self.errors
                    or (name not in TOLERANCES and self[f"{axle}_{name}"].value())
                    for name in more
                ),
            }
            for axle in PlanAxle.values
        ]

    def _labelled(self, axle: str, names: tuple[str, ...]) -> list[tuple[Any, str, str]]:
        """Fields with their labels in two parts: under an axle's heading the axle goes unsaid."""
        rest = f", {PlanAxle(axle).label.lower()}"
        fields = [self[f"{axle}_{name}"] for name in names]
        return [(field, field.label.removesuffix(rest), rest) for field in fields]

    # ---- what was typed

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        diameter = self.read("toe_diameter", *reader_of("toe_diameter", "", None))
        self.diameter_mm = diameter.value if diameter else None
        self.asked: list[tuple[str, Question]] = []
        self.wanted = {axle: self._clean_axle(axle) for axle in PlanAxle.values}
        self.ask(self.asked)
        return cleaned

    def versions(self) -> dict[str, int]:
        return {axle: self.cleaned_data.get(f"{axle}_version") or 0 for axle in PlanAxle.values}

    def _clean_axle(self, axle: str) -> AxlePlan | None:
        numbers, typed = self._numbers(axle)
        rods = self._rods(axle, typed)
        camber_method = self._means(axle, has_camber=bool(typed.get("camber")))
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
                self.add_error(f"{axle}_{name}", "This cannot be less than nothing.")
                continue
            numbers[name] = number.value
        return numbers, typed

    def _means(self, axle: str, *, has_camber: bool) -> str:
        camber_method = self.cleaned_data.get(f"{axle}_camber_by") or ""
        rod = (self.cleaned_data.get(f"{axle}_camber_rod") or "").strip()
        if has_camber and not camber_method:
            self.add_error(f"{axle}_camber_by", NO_MEANS)
        elif camber_method and not has_camber:
            self.add_error(f"{axle}_camber", NO_CAMBER)
        elif camber_method == ROD and not rod:
            self.add_error(f"{axle}_camber_rod", NO_ROD)
        elif rod and camber_method != ROD:
            self.add_error(
                f"{axle}_camber_rod", "A rod is named, but the camber is not reached by a rod."
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
                    raise units.Refused(f"“{line}” is no rod. Write its name, =, and millimetres.")
                if parts["name"] in found:
                    raise units.Refused(f"The rod “{parts['name']}” is named twice.")
                found[parts["name"]] = units.parse_length(parts["value"]).value
            except units.Refused as refusal:
                self.add_error(f"{axle}_rods", str(refusal))
        return found

    def _ask_about(self, axle: str, numbers: dict[str, float]) -> None:
        where = str(PlanAxle(axle).label).lower()
        found: list[Question] = []
        if "camber" in numbers:
            key = (axle, str(Quantity.CAMBER.value))
            found += camber_questions(key, numbers["camber"], f"on the {where}")
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
        """Show what somebody else saved beside what is in the form; the next press overwrites."""
        now = {plan.axle: plan for plan in standing}
        self.theirs = []
        for axle in PlanAxle.values:
            plan = now.get(axle)
            typed = dict(plan.typed) if plan else {}
            for name in ("camber", "toe", "caster", *ADJUSTERS, "rods"):
                mine = (self.cleaned_data.get(f"{axle}_{name}") or "").strip()
                if mine != typed.get(name, ""):
                    label = str(self.fields[f"{axle}_{name}"].label)
                    self.theirs.append((label, typed.get(name, "") or "empty", mine or "empty"))
            by = plan.camber_by if plan else ""
            mine_by = self.wanted[axle].camber_by if self.wanted[axle] else ""  # type: ignore[union-attr]
            if by != mine_by:
                label = str(self.fields[f"{axle}_camber_by"].label)
                self.theirs.append(
                    (
                        label,
                        camber_method_text(by) or "empty",
                        camber_method_text(mine_by) or "empty",
                    )
                )
            bushes = plan.bushes if plan else ""
            mine_bushes = self.cleaned_data.get(f"{axle}_bushes") or ""
            if bushes != mine_bushes:
                words = dict(Bushes.choices)
                label = str(self.fields[f"{axle}_bushes"].label)
                self.theirs.append(
                    (label, words.get(bushes, "empty"), words.get(mine_bushes, "empty"))
                )
            rolled = bool(plan and plan.rolled_lips)
            mine_rolled = bool(self.cleaned_data.get(f"{axle}_rolled_lips"))
            if rolled != mine_rolled:
                label = str(self.fields[f"{axle}_rolled_lips"].label)
                said = {True: "rolled", False: "as they are"}
                self.theirs.append((label, said[rolled], said[mine_rolled]))
            self.put(f"{axle}_version", str(plan.version if plan else 0))
