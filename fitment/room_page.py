"""What the room pages show: a stored check turned into words, rows and drawings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from fitment.engine import checkfile
from fitment.engine.model import CONTACT, DOUBTFUL, CornerAnswer, PlaceAnswer
from fitment.engine.scene_svg import scene_svg
from fitment.engine.words import corner_sentence, pose_words
from fitment.gate import GATE, answer_of
from fitment.models import CORNER_NAMES, RoomCheck
from fitment.services.checks import check_state
from fitment.services.scenes import scene_load
from fitment.words import adjuster_unit, adjuster_words, corner_words, means_words
from shop import plugs

if TYPE_CHECKING:
    from shop.models import WorkOrder


@dataclass(frozen=True)
class PlaceRow:
    """One place of a corner: its tightest moment, how sure that is, and what decides it."""

    answer: PlaceAnswer
    when: str
    doubt: str


@dataclass(frozen=True)
class AdjusterRow:
    """Where an adjuster has to stand, from where the car was surveyed."""

    words: str
    value: float
    unit: str


@dataclass(frozen=True)
class ReachRow:
    """An adjuster that cannot go as far as the setting asks."""

    words: str
    needed: float
    min: float
    max: float
    short_by: float
    unit: str


@dataclass(frozen=True)
class WayRow:
    """What a change of means, tyre or spacer would come to."""

    words: str
    verdict: str
    sentence: str


@dataclass(frozen=True)
class CornerView:
    """One corner of a check as its page shows it, or two that are measured and set alike."""

    corner: str
    name: str
    answer: CornerAnswer
    sentence: str
    drawing: SafeString
    legend: tuple[str, ...]
    places: tuple[PlaceRow, ...]
    adjusters: tuple[AdjusterRow, ...]
    out_of_reach: tuple[ReachRow, ...]
    planned_by: str
    other_means: tuple[WayRow, ...]
    ways: tuple[WayRow, ...]

    @property
    def has_to_change(self) -> bool:
        """Whether something has to give: it may rub, or the setting is out of reach."""
        return self.answer.verdict in (CONTACT, DOUBTFUL) or bool(self.out_of_reach)


def room_page(order: WorkOrder) -> dict[str, Any]:
    """Context of an order's room page."""
    state = check_state(order)
    gate = answer_of(order, state)
    shown = state.shown
    return {
        "order": order,
        "state": state,
        "gate": gate,
        "check": shown,
        "corners": corner_views(shown) if shown else [],
        "unmeasured": [CORNER_NAMES[corner] for corner in state.inputs.unmeasured],
        "as_it_was": None if order.is_open else shown,
        "primary": primary_action(order, gate, can_run=state.inputs.can_run),
        "earlier": earlier_checks(order, shown),
        "overrides": order.overrides.filter(gate=GATE).select_related("by"),
        "coilover": fits_dampers(order),
    }


def primary_action(order: WorkOrder, gate: plugs.GateAnswer, *, can_run: bool) -> dict[str, str]:
    """The one thing to do next: ``post`` for a button, ``url`` for a link."""
    run = reverse("room_run", args=[order.pk])
    if not order.is_open:
        return {"label": "Back to the order", "url": reverse("order", args=[order.pk])}
    if gate.result == plugs.STALE:
        return {"label": "Check again", "post": run}
    if gate.result == plugs.NOT_CHECKED and can_run:
        return {"label": "Check the room", "post": run}
    if gate.result in (plugs.CLEAR, plugs.TIGHT):
        return {"label": "Back to the order", "url": reverse("order", args=[order.pk])}
    if gate.result in (plugs.CONTACT, plugs.OUT_OF_REACH):
        return {"label": "Change the settings", "url": reverse("plan_edit", args=[order.pk])}
    return {"label": gate.action_label, "url": gate.action_url}


def earlier_checks(order: WorkOrder, shown: RoomCheck | None) -> list[RoomCheck]:
    """The order's other checks, newest first, without their bulk."""
    rows = RoomCheck.objects.filter(order=order).defer("inputs", "answer", "scenes")
    return [row for row in rows.select_related("by") if shown is None or row.pk != shown.pk]


def fits_dampers(order: WorkOrder) -> bool:
    """Whether the order fits dampers, whose stops are not the ones of the survey."""
    return order.lines.filter(part__kind="coilover").exists()


def corner_views(check: RoomCheck) -> list[CornerView]:
    """The corners of a stored check in the order of its file."""
    if not check.answer:
        return []
    answer = checkfile.answer_load(check.answer)
    return [
        _corner_view(check, corners, answer.corners[corners[0]]) for corners in alike(check.inputs)
    ]


def alike(inputs: Mapping[str, Any]) -> list[tuple[str, ...]]:
    """Corners in the file's order, those together that were asked the very same question."""
    groups: list[list[str]] = []
    for corner, asked in inputs["corners"].items():
        twin = next((group for group in groups if inputs["corners"][group[0]] == asked), None)
        if twin is None:
            groups.append([corner])
        else:
            twin.append(corner)
    return [tuple(group) for group in groups]


def _corner_view(check: RoomCheck, corners: tuple[str, ...], answer: CornerAnswer) -> CornerView:
    corner, name = corners[0], corner_words(corners)
    drawing, legend = drawn(check, corner)
    by = check.inputs["corners"][corner]["planned"].get("camber_by", "")
    return CornerView(
        corner=corner,
        name=name,
        answer=answer,
        sentence=corner_sentence(name, answer),
        drawing=drawing,
        legend=legend,
        places=tuple(PlaceRow(one, pose_words(one), doubt_words(one)) for one in answer.places),
        adjusters=tuple(_adjuster_rows(answer.adjusters)),
        out_of_reach=tuple(
            ReachRow(
                adjuster_words(short.adjuster),
                short.needed,
                short.min,
                short.max,
                short.short_by,
                adjuster_unit(short.adjuster),
            )
            for short in answer.out_of_reach
        ),
        planned_by=means_words(by) if by else "",
        other_means=_way_rows(check, corner, "means"),
        ways=_way_rows(check, corner, "clear"),
    )


def _way_rows(check: RoomCheck, corner: str, kind: str) -> tuple[WayRow, ...]:
    found = check.ways.get(corner, {}).get(kind, [])
    return tuple(WayRow(way["words"], way["verdict"], way["sentence"]) for way in found)


def drawn(
    check: RoomCheck, corner: str, reader: str = "shop"
) -> tuple[SafeString, tuple[str, ...]]:
    """The stored drawing of a corner as SVG, and its legend; empty where none was kept."""
    kept = check.scenes.get(corner, {}).get(reader)
    if kept is None:
        return SafeString(""), ()
    scene = scene_load(kept)
    svg = scene_svg(scene, id_prefix=f"room-{check.pk}-{corner.lower()}")
    return mark_safe(svg), scene.legend  # noqa: S308  written by our own writer, which escapes


def _adjuster_rows(adjusters: Mapping[str, float | Mapping[str, float]]) -> list[AdjusterRow]:
    rows: list[AdjusterRow] = []
    for name, value in adjusters.items():
        if isinstance(value, Mapping):
            rows += [
                AdjusterRow(adjuster_words(f"rod:{rod}"), moved, "mm")
                for rod, moved in value.items()
            ]
        else:
            rows.append(AdjusterRow(adjuster_words(name), value, adjuster_unit(name)))
    return rows


def doubt_words(place: PlaceAnswer) -> str:
    """The input that the doubt comes from most; empty where no share was kept."""
    if not place.doubt:
        return ""
    most = max(place.doubt, key=lambda part: part.mm)
    return f"mostly {most.source}, {most.mm:.1f} mm"
