"""One place of a corner as it is typed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from alignment.geometry.model import LINKS, Suspension
from common.numerals import whole
from fitment.engine.model import EDGE, LINK, SINGLY, TEMPLATE
from fitment.fields.numbers import NumberField, RowsField
from fitment.text.labels import ROD_WORDS
from shop.site.joining import JoinedForm


class FeatureForm(JoinedForm, forms.Form):
    """One spot of a corner."""

    place = forms.CharField(
        label=_("Spot"), required=False, max_length=80, help_text=_("For example: arch lip")
    )
    carried_by = forms.ChoiceField(
        label=_("Moves with"),
        choices=[
            ("body", _("the body")),
            ("knuckle", _("the knuckle")),
            ("strut", _("the strut")),
            ("link", _("a rod: a tube between its joints")),
        ],
    )
    link = forms.CharField(label=_("Which rod"), required=False, max_length=40)
    shape = forms.ChoiceField(
        label=_("Shape"),
        choices=[("edge", _("an edge: points joined")), ("points", _("points on their own"))],
    )
    surface = forms.ChoiceField(
        label=_("Surface"), choices=[("hard", _("hard")), ("soft", _("soft"))]
    )
    half_thickness_mm = NumberField(
        label=_("Half thickness, mm"),
        required=False,
        help_text=_("Of a round bar or a rolled edge; of a rod its radius."),
    )
    turned_in_mm = NumberField(
        label=_("Turns in by, mm"),
        required=False,
        help_text=_(
            "Of an arch lip: how far its inner end, which belongs among the points, stands "
            "inboard of the edge you see. Rolling such a lip can then be tried."
        ),
    )
    sigma_mm = NumberField(
        label=_("Uncertainty, mm"), required=False, help_text=_("Standard, ±1 sigma.")
    )
    read = forms.ChoiceField(
        label=_("Points read"),
        required=False,
        choices=[(SINGLY, _("one by one")), (TEMPLATE, _("off a template: all move together"))],
    )
    points = RowsField(
        columns=("clock", "radius", "axial"),
        required=False,
        label=_("Points about the hub"),
        help_text=_("One a line: clock °, radius mm, axial mm from the hub face."),
    )
    xyz_mm = RowsField(
        columns=("x", "y", "z"),
        required=False,
        rows=3,
        label=_("or points in the corner"),
        help_text=_("One a line: x forward, y outboard, z up."),
    )
    taken_at_travel_mm = NumberField(
        label=_("Read at travel, mm"),
        required=False,
        help_text=_("Only if not in the survey pose."),
    )
    taken_at_steer_deg = NumberField(label=_("Read at steer, °"), required=False)
    to_confirm = forms.BooleanField(
        label=_("Copied from another car model, not confirmed here yet"), required=False
    )
    remove = forms.BooleanField(label=_("Leave this spot out"), required=False)

    #: Figures that a document holds under the field's name, and leaves out where nothing was typed.
    FIGURES = ("sigma_mm", "turned_in_mm")
    #: Fields that are typed; the choices beside them always hold something.
    TYPED = (
        "place",
        "link",
        "half_thickness_mm",
        *FIGURES,
        "points",
        "xyz_mm",
        "taken_at_travel_mm",
        "taken_at_steer_deg",
    )

    def __init__(self, *args: Any, kind: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        rods = {
            rod: gettext(ROD_WORDS[rod]) if rod in ROD_WORDS else rod
            for rod in Suspension(kind).rod_names
        }
        if kind == LINKS:
            self.fields["link"].help_text = _("Only for a rod: its name among the five links.")
        elif rods:
            self.fields["link"] = forms.ChoiceField(
                label=_("Which rod"),
                required=False,
                choices=[("", _("no rod")), *rods.items()],
                help_text=_("Only for a rod. Its joints say where it is: no points are needed."),
            )
        else:
            del self.fields["link"]

    @property
    def is_used(self) -> bool:
        """Whether anything of this place was filled in and it was not struck out."""
        if self.cleaned_value("remove"):
            return False
        return bool(self.errors) or any(
            self.cleaned_value(name) not in (None, "", []) for name in self.TYPED
        )

    def cleaned_value(self, name: str) -> Any:
        return getattr(self, "cleaned_data", {}).get(name)

    def as_document(self) -> Document:
        value = self.cleaned_value
        document: Document = {
            name: value(name) for name in ("place", "carried_by", "shape", "surface")
        }
        document["half_thickness_mm"] = value("half_thickness_mm") or 0.0
        if value("carried_by") == LINK:
            document |= {"shape": EDGE, "link": value("link") or ""}
        elif value("link"):
            document["link"] = value("link")
        if value("read") == TEMPLATE:
            document["read"] = TEMPLATE
        if value("to_confirm"):
            document["to_confirm"] = True
        document |= {name: value(name) for name in self.FIGURES if value(name) is not None}
        if value("points"):
            document["points"] = [
                {"clock_deg": clock, "radius_mm": radius, "axial_mm": axial}
                for clock, radius, axial in value("points")
            ]
        if value("xyz_mm"):
            document["xyz_mm"] = value("xyz_mm")
        travel, steer = value("taken_at_travel_mm"), value("taken_at_steer_deg")
        if travel is not None or steer is not None:
            document["taken_at"] = {"travel_mm": travel or 0.0, "steer_deg": steer or 0.0}
        return document


def features_initial(document: Mapping[str, Any]) -> list[Document]:
    """The places' fields from a stored document."""
    return [_feature_initial(row) for row in document.get("survey", {}).get("features", [])]


def _feature_initial(row: Mapping[str, Any]) -> Document:
    initial = {key: row[key] for key in row if key in FeatureForm.base_fields}
    initial["points"] = [
        [point["clock_deg"], point["radius_mm"], point["axial_mm"]]
        for point in row.get("points", [])
    ]
    initial["xyz_mm"] = row.get("xyz_mm", [])
    pose = row.get("taken_at") or {}
    initial["taken_at_travel_mm"] = pose.get("travel_mm")
    initial["taken_at_steer_deg"] = pose.get("steer_deg")
    return initial


Document = dict[str, Any]


def feature_field(steps: list[str]) -> tuple[str, str]:
    """Field and line of a place that a path inside a feature belongs to."""
    if not steps:
        return "place", ""
    if steps[0] == "taken_at":
        return f"taken_at_{steps[1]}" if len(steps) > 1 else "taken_at_travel_mm", ""
    return steps[0], line_of(steps[1:])


def line_of(steps: list[str]) -> str:
    """Which line of a field a path belongs to, in words; empty for the whole field."""
    if not steps:
        return ""
    number = whole(steps[0])
    if number is None:
        return " ".join(steps)
    return " ".join([f"line {number + 1}", *steps[1:]])
