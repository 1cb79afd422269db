"""Does it clear? One question in, one answer out.

The single way from a check to its answer: settle each corner at its planned setting, collapse
its features into a room, find the tightest moment of each place, prove that nothing is tighter,
add up the uncertainty, and judge.
Web pages, the command line and tests all come through here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from alignment.geometry.frames import Array
from alignment.geometry.hub_position import seat_of
from alignment.geometry.kinds import ROD_PREFIX
from alignment.geometry.linkage import Unreachable
from alignment.geometry.model import ADJUSTERS
from common.message import Message, message
from common.verdicts import Verdict, worst
from fitment.engine import defaults
from fitment.engine.certified import Certified, certified
from fitment.engine.minimum.closest import Closest, closest
from fitment.engine.minimum.coverage import coverage, uncovered
from fitment.engine.minimum.envelope import RestsOnStops
from fitment.engine.minimum.loads import loads_left_out
from fitment.engine.minimum.rolled_lips import rolling_notes
from fitment.engine.minimum.room import Room
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import (
    Answer,
    Check,
    Corner,
    CornerAnswer,
    Duty,
    OutOfReach,
    Sector,
    StaticAnswer,
)
from fitment.engine.rim_leads import rim_leads
from fitment.engine.solid.section import Section, section_of
from fitment.engine.spot_answers import Judged, any_touch_chance, judged
from fitment.engine.uncertainty.effects import effects
from fitment.engine.verdict import judge_whole

#: Part of every stored check's digest: raised, it makes all checks on record stale, and they are
#: run again before the next job goes on. Raise it by one whenever an answer may come out otherwise
#: for the same question: a clearance, an uncertainty, a chance or a verdict. Leave it for what is
#: only faster, drawn or worded otherwise. tests/engine/test_golden.py fails where it was forgotten.
ENGINE_VERSION = "7"


class CannotCheck(Unreachable):
    """A corner that cannot be computed; ``corner`` names it, the message says what stopped it."""

    def __init__(self, corner: str, reason: Message) -> None:
        super().__init__(reason)
        self.corner = corner


def run(check: Check) -> Answer:
    """Answer a check. Raises CannotCheck where a pose or setting cannot be reached."""
    return run_with_rooms(check)[0]


def run_with_rooms(check: Check) -> tuple[Answer, dict[str, Room]]:
    """Answer a check and give the room of every corner, for drawing."""
    answers, rooms, parts = {}, {}, {}
    for name, corner in check.corners.items():
        try:
            setting = setting_of(name, corner, check.duty)
            answers[name], parts[name] = judged_corner(setting)
        except (Unreachable, RestsOnStops) as error:
            raise CannotCheck(name, error.message) from error
        rooms[name] = setting.room
    chance = any_touch_chance(list(parts.values()))
    verdict, told = judge_whole(
        (answer.verdict for answer in answers.values()), chance, defaults.CAR_MAY_TOUCH
    )
    return Answer(check.label, verdict, answers, chance, told), rooms


def corner_answer(setting: Setting) -> CornerAnswer:
    """Answer for one corner made ready."""
    return judged_corner(setting)[0]


@dataclass(frozen=True)
class Decided:
    """What decides a corner: its tightest moments with their proof, its spots as they are judged,
    and what was not measured. ``notes`` say why it is judged as a whole."""

    section: Section
    proof: Certified
    parts: Judged
    verdict: Verdict
    sectors: tuple[Sector, ...]
    missing: tuple[Message, ...]
    notes: tuple[Message, ...]


def decided(setting: Setting, solids: Solids | None = None) -> Decided:
    """The verdict of a corner made ready, without what only people read.

    ``solids`` are its tyre and wheel with what was found of them already.
    """
    solids = solids or solids_of(setting)
    section, coarse = solids.section, solids.coarse
    proof = certified(setting, section, coarse, solids.found)
    parts = judged(setting, section, proof.budget, proof.certified_mm)
    sectors = coverage(setting, section)
    missing = uncovered(setting, sectors)
    if setting.corner.limits.bump_mm is None:
        missing = (message("open.bump"), *missing)
    verdict, told = parts.verdict()
    verdict = worst([verdict] + [Verdict.UNMEASURED] * bool(missing))
    return Decided(section, proof, parts, verdict, sectors, missing, told)


@dataclass(frozen=True)
class Solids:
    """Tyre and wheel of a corner, fine and rough, and the tightest moments that were found."""

    section: Section
    coarse: Section
    found: Closest


def solids_of(setting: Setting) -> Solids:
    """The solids of a corner made ready, and a search for its tightest moments."""
    corner = setting.corner
    section, coarse = (section_of(corner.wheel, corner.tyre, rough) for rough in (False, True))
    return Solids(section, coarse, closest(setting.room, section, coarse))


def judged_corner(setting: Setting) -> tuple[CornerAnswer, Judged]:
    """Answer for one corner, and what its clearances hang on."""
    whole = decided(setting)
    return answer_of(setting, whole), whole.parts


def answer_of(setting: Setting, whole: Decided) -> CornerAnswer:
    """The full answer for a corner that is decided."""
    corner, room, section = setting.corner, setting.room, whole.section
    found, budget = whole.proof.found, whole.proof.budget
    return CornerAnswer(
        verdict=whole.verdict,
        static=_static(setting),
        adjusters=_adjusters(setting),
        out_of_reach=out_of_reach(setting),
        places=whole.parts.spots,
        uncovered=whole.missing,
        assumed=budget.assumed,
        notes=(
            *whole.notes,
            *_notes(corner, setting.duty),
            *whole.parts.notes,
            *rim_leads(setting, section, whole.parts.spots),
            *budget.left_out,
            *whole.proof.shortfalls(setting),
        ),
        seat=seat_of(
            setting.motion, setting.settled, -section.centre_axial_mm, section.tyre_radius_mm
        ),
        effects=effects(setting, section, found, room.meridian(found.spots)),
        sectors=whole.sectors,
        any_touch_chance=whole.parts.any_touch_chance,
    )


def _static(setting: Setting) -> StaticAnswer:
    settled = setting.settled

    def degrees(angle: Array | None) -> float | None:
        return None if angle is None else float(np.degrees(angle[0]))

    x, y, z = (float(part) for part in settled.hub[0])
    return StaticAnswer(
        camber_deg=float(np.degrees(settled.camber[0])),
        toe_deg=float(np.degrees(settled.toe[0])),
        caster_deg=degrees(settled.axis.caster if settled.axis else None),
        inclination_deg=degrees(settled.axis.inclination if settled.axis else None),
        hub_mm=(x, y, z),
    )


def _positions(setting: Setting) -> dict[str, float]:
    """Every adjuster that was stated or solved, by name; rods as ``rod:NAME``."""
    stated = setting.corner.planned.adjusters
    values = {
        name: float(getattr(stated, name))
        for name in ADJUSTERS
        if getattr(stated, name) or name in stated.stated
    }
    values |= {f"{ROD_PREFIX}{rod}": float(amount) for rod, amount in stated.rods_mm.items()}
    return values | setting.solved


def _adjusters(setting: Setting) -> dict[str, float | dict[str, float]]:
    """Adjuster positions as the answer shows them: rods in a table of their own."""
    values = _positions(setting)
    rods = {
        name.removeprefix(ROD_PREFIX): value
        for name, value in values.items()
        if name.startswith(ROD_PREFIX)
    }
    plain: dict[str, float | dict[str, float]] = {
        name: value for name, value in values.items() if not name.startswith(ROD_PREFIX)
    }
    return plain | ({"rods_mm": rods} if rods else {})


def out_of_reach(setting: Setting) -> tuple[OutOfReach, ...]:
    """Adjusters that would have to go beyond the range of the parts on the car."""
    found = []
    positions = _positions(setting)
    for name, (low, high) in setting.corner.suspension.reach.items():
        needed = positions.get(name, 0.0)
        short = max(low - needed, needed - high)
        if short > 1e-9:
            found.append(OutOfReach(name, needed, low, high, short))
    return tuple(found)


def _notes(corner: Corner, duty: Duty) -> tuple[Message, ...]:
    notes = [*loads_left_out(duty, corner.compliance), *rolling_notes(corner)]
    if corner.limits.bump_mm is None:
        notes.append(message("note.no-bump"))
    return tuple(notes)
