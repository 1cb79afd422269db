"""Room checks of an order: run one, and tell whether the last one still holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from django.db import transaction

from alignment.geometry.linkage import Unreachable
from common.corners import CORNER_NAMES
from common.verdicts import Verdict
from fitment.clearance.present_car import section_on_the_car
from fitment.drawings.stored import BESIDE, READERS, scene_dump
from fitment.engine import checkfile
from fitment.engine.check import ENGINE_VERSION, run_with_rooms
from fitment.engine.drawing.captions import ON_THE_CAR_DASHED, OTHER_DASHED
from fitment.engine.drawing.scene import Scene
from fitment.engine.drawing.section_drawing import room_scene, room_scenes
from fitment.engine.minimum.room import Room
from fitment.engine.model import Answer, Check
from fitment.engine.solid.section import Section, section_of
from fitment.engine.words import check_sentence
from fitment.job.data import CheckInputs, CheckState, Problem
from fitment.job.inputs import check_inputs
from fitment.models import ClearanceCheck
from fitment.mounting.services.record import mounting_keep
from fitment.text.labels import corner_words
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

    The mounting checks, some of which the room answers, are kept with it.

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
        log_write(order=order, by=by, what="Room checked", detail=check.sentence)
        mounting_keep(order=order, by=by, state=CheckState(inputs, check, check))
    return check


def answered(inputs: CheckInputs) -> dict[str, Any]:
    """The engine's part of a RoomCheck: answer, drawings, verdict, reach and sentence."""
    question = checkfile.parse(inputs.document)
    try:
        answer, rooms = run_with_rooms(question)
    except Unreachable as stuck:
        return {
            "verdict": Verdict.UNMEASURED,
            "in_reach": False,
            "sentence": f"The suspension as surveyed cannot be set as planned: {stuck}",
        }
    return {
        "answer": checkfile.answer_dump(answer),
        "scenes": _scenes(question, answer, rooms, _on_the_car(inputs)),
        "options": options_to_clear(inputs.car, question, answer),
        "verdict": _verdict(answer, inputs),
        "in_reach": not any(corner.out_of_reach for corner in answer.corners.values()),
        "sentence": _sentence(answer, inputs),
    }


def _verdict(answer: Answer, inputs: CheckInputs) -> str:
    return (
        Verdict.UNMEASURED
        if inputs.unmeasured and answer.verdict != Verdict.CONTACT
        else answer.verdict
    )


def _sentence(answer: Answer, inputs: CheckInputs) -> str:
    """One line that a customer can sign under, in whole millimetres."""
    sentence = f"{check_sentence(answer, decimals=0)} {unmeasured_sentence(inputs)}"
    return " ".join(sentence.split())


def unmeasured_sentence(inputs: CheckInputs) -> str:
    """What is not known for want of a survey; empty if every corner has one."""
    if not inputs.unmeasured:
        return ""
    what = "corner has" if len(inputs.unmeasured) == 1 else "corners have"
    return (
        f"The {corner_words(inputs.unmeasured)} {what} never been surveyed, "
        "so nothing can be said about the room there."
    )


def _on_the_car(inputs: CheckInputs) -> dict[str, Section]:
    """By corner, the section of the wheel and tyre that are on the car, where they are known."""
    sections = {corner: section_on_the_car(stands) for corner, stands in inputs.present.items()}
    return {corner: section for corner, section in sections.items() if section is not None}


def _scenes(
    check: Check, answer: Answer, rooms: Mapping[str, Room], on_the_car: Mapping[str, Section]
) -> dict[str, Any]:
    """By corner, the drawing for the shop in tenths and for customers in whole millimetres.

    Beside each the same with the wheel that is on the car now, dashed, where that is known.
    """
    scenes: dict[str, Any] = {}
    for name, corner in check.corners.items():
        section = section_of(corner.wheel, corner.tyre)
        what = (rooms[name], section, answer.corners[name])
        title = f"Room of the {CORNER_NAMES[name]} wheel"
        drawn = room_scenes(*what, title=title, decimals=tuple(READERS.values()))
        scenes[name] = {
            reader: scene_dump(scene) for reader, scene in zip(READERS, drawn, strict=True)
        }
        if name in on_the_car:
            for reader, decimals in READERS.items():
                beside = room_scene(
                    *what, title=title, decimals=decimals, other_section=on_the_car[name]
                )
                scenes[name][BESIDE[reader]] = scene_dump(_of_this_car(beside))
    return scenes


def _of_this_car(scene: Scene) -> Scene:
    """A drawing of two wheels whose legend calls the dashed one the wheel on the car."""
    legend = (ON_THE_CAR_DASHED if line == OTHER_DASHED else line for line in scene.legend)
    return replace(scene, legend=tuple(legend))
