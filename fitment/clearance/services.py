"""Clearance checks of an order: run one, and tell whether the last one still holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from django.db import transaction
from django.utils.translation import gettext_lazy

from alignment.geometry.linkage import Unreachable
from alignment.text.render import on_record
from common.message import message, message_dump
from common.verdicts import Verdict
from fitment.clearance.present_car import section_on_the_car
from fitment.clearance.side_view import side_view
from fitment.drawings.stored import ALONE, BESIDE, SIDE, scene_dump, scene_load
from fitment.engine import checkfile
from fitment.engine.check import ENGINE_VERSION, run_with_rooms
from fitment.engine.drawing.captions import ON_THE_CAR_DASHED, OTHER_DASHED
from fitment.engine.drawing.scene import Scene
from fitment.engine.drawing.section_drawing import room_scene
from fitment.engine.minimum.room import Room
from fitment.engine.model import Answer, Check
from fitment.engine.solid.section import Section, section_of
from fitment.job.data import CheckInputs, CheckState, Problem
from fitment.job.inputs import check_inputs
from fitment.models import ClearanceCheck
from fitment.mounting.services.record import mounting_keep
from fitment.text.lettering import letter_for
from fitment.text.render import stored_text
from fitment.tryout.services.quick_options import options_to_clear
from shop.orders.services.log import log_write

if TYPE_CHECKING:
    from shop.models import User, WorkOrder


class CheckNotPossible(Exception):
    """The order cannot be checked as it stands; ``problems`` say why and where to mend it."""

    def __init__(self, inputs: CheckInputs) -> None:
        self.problems: tuple[Problem, ...] = inputs.problems
        self.unmeasured = inputs.unmeasured
        super().__init__(" ".join(problem.sentence for problem in inputs.problems))


def check_run(*, order: WorkOrder, by: User | None) -> ClearanceCheck:
    """Ask the engine about an order as it is now, and keep question, answer and drawings.

    The mounting checks, some of which the clearance answers, are kept with it.

    Raises CheckNotPossible while something is missing or senseless, or no corner that the
    order touches has a survey.
    """
    inputs = check_inputs(order)
    if not inputs.can_run:
        raise CheckNotPossible(inputs)
    check = ClearanceCheck(
        order=order,
        by=by,
        inputs=inputs.document,
        unmeasured=list(inputs.unmeasured),
        engine_version=ENGINE_VERSION,
        digest=inputs.digest,
        **answered(inputs),
    )
    with transaction.atomic():
        check.save()
        log_write(
            order=order,
            by=by,
            what=gettext_lazy("Clearance checked"),
            detail=str(stored_text(check, on_record())),
        )
        mounting_keep(order=order, by=by, state=CheckState(inputs, check, check))
    return check


def answered(inputs: CheckInputs) -> dict[str, Any]:
    """The engine's part of a ClearanceCheck: answer, drawings, verdict and reach."""
    question = checkfile.parse(inputs.document)
    try:
        answer, rooms = run_with_rooms(question)
    except Unreachable as stuck:
        return {
            "verdict": Verdict.UNMEASURED,
            "in_reach": False,
            "stopped": message_dump(stuck.message),
        }
    return {
        "answer": checkfile.answer_dump(answer),
        "scenes": _scenes(question, answer, rooms, _on_the_car(inputs)),
        "options": options_to_clear(inputs.car, question, answer),
        "verdict": _verdict(answer, inputs),
        "in_reach": not any(corner.out_of_reach for corner in answer.corners.values()),
    }


def _verdict(answer: Answer, inputs: CheckInputs) -> str:
    return (
        Verdict.UNMEASURED
        if inputs.unmeasured and answer.verdict != Verdict.CONTACT
        else answer.verdict
    )


def _on_the_car(inputs: CheckInputs) -> dict[str, Section]:
    """By corner, the section of the wheel and tyre that are on the car, where they are known."""
    sections = {corner: section_on_the_car(stands) for corner, stands in inputs.present.items()}
    return {corner: section for corner, section in sections.items() if section is not None}


def _scenes(
    check: Check, answer: Answer, rooms: Mapping[str, Room], on_the_car: Mapping[str, Section]
) -> dict[str, Any]:
    """By corner, its drawing, the same with the wheel that is on the car now, dashed, and its side
    view at the tightest pose.

    They are kept without letters, for readers of every language; how long words are is the shop's.
    """
    scenes: dict[str, Any] = {}
    letter = letter_for()
    for name, corner in check.corners.items():
        section = section_of(corner.wheel, corner.tyre)
        what = (rooms[name], section, answer.corners[name])
        title = message("drawing.title", corner=message(f"corner.{name}"))
        scenes[name] = {ALONE: scene_dump(room_scene(*what, title=title, letter=letter))}
        if name in on_the_car:
            other = on_the_car[name]
            beside = room_scene(*what, title=title, letter=letter, other_section=other)
            scenes[name][BESIDE] = scene_dump(_of_this_car(beside))
        side = side_view(name, corner, check.duty, answer.corners[name])
        if side is not None:
            scenes[name][SIDE] = scene_dump(side)
    return scenes


def _of_this_car(scene: Scene) -> Scene:
    """A drawing of two wheels whose legend calls the dashed one the wheel on the car."""
    legend = (ON_THE_CAR_DASHED if line == OTHER_DASHED else line for line in scene.legend)
    return replace(scene, legend=tuple(legend))


def scene_of(check: ClearanceCheck, corner: str) -> Scene | None:
    """The drawing that a check kept of a corner, with the wheel on the car where it is known."""
    kept = check.scenes.get(corner, {})
    document = kept.get(BESIDE) or kept.get(ALONE)
    return scene_load(document) if document else None


def side_of(check: ClearanceCheck, corner: str) -> Scene | None:
    """The side view that a check kept of a corner; None for one from before there was any."""
    document = check.scenes.get(corner, {}).get(SIDE)
    return scene_load(document) if document else None
