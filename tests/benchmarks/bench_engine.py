# ruff: noqa: T201  the tables go to the terminal; one thread is set before numpy loads
"""How long checks take, where the time goes, and how that compares with triangle meshes.

    python -m tests.benchmarks.bench_engine [repetitions]

One process, warm; medians. Wall time says what a person waits, processor time is steadier on a
busy machine. Prints tables and fails nothing: the machine decides the figures.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the shop's server sets it

import itertools
import platform
import statistics
import sys
import time
import unittest.mock
from collections.abc import Callable
from functools import partial
from typing import TypeVar

import numpy as np

from alignment.geometry.frames import Array
from alignment.geometry.hubmap import hub_map
from alignment.geometry.model import ADJUSTERS, STRUT
from alignment.geometry.motion import HubPoses
from common.corners import CORNERS
from fitment.engine.check import run
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.room import Moments, Room
from fitment.engine.minimum.setting import Setting, courses_of, envelope_for, motion_for, setting_of
from fitment.engine.model import Check, Corner
from fitment.engine.solid.section import Section, section_of
from fitment.engine.uncertainty.budget import budget_of
from fitment.engine.uncertainty.effects import SIZES, effects
from fitment.engine.uncertainty.first_order_effects import resized
from fitment.engine.uncertainty.solid_inputs import STEP_MM
from tests.benchmarks.corners import check_of, strut_corner
from tests.benchmarks.mesh_search import MeshSearch

Times = tuple[float, float]
T = TypeVar("T")


#: Changes of pose that doubt and levers of a strut look at, each both ways.
POSE_CHANGES = (
    "camber",
    "toe",
    "height",
    "bump limit",
    "lock",
    *(name for name, kinds in ADJUSTERS.items() if STRUT in kinds and name != "toe_link_mm"),
)
#: Numbers that make every check of a run a new one, so that no cache has seen it.
FRESH = itertools.count(1)


def timed(work: Callable[[int], object], repetitions: int) -> Times:
    """Median wall and processor milliseconds of ``work``, given a fresh number each time."""
    wall, cpu = [], []
    for turn in range(-3, repetitions):
        fresh = next(FRESH)
        begin, used = time.perf_counter(), time.process_time()
        work(fresh)
        if turn >= 0:
            cpu.append(1e3 * (time.process_time() - used))
            wall.append(1e3 * (time.perf_counter() - begin))
    return statistics.median(wall), statistics.median(cpu)


def row(what: str, times: Times, more: str = "") -> None:
    print(f"  {what:<46}{times[0]:9.2f}{times[1]:9.2f}  {more}")


def heading(what: str, more: str = "") -> None:
    print(f"\n{what:<48}{'wall ms':>9}{'CPU ms':>9}  {more}")


def checks(repetitions: int) -> None:
    heading("A check, answer and all")
    corner = strut_corner()
    row(
        "one steered strut: 3 edges, 20 points",
        timed(lambda turn: run(check_of(corner, turn)), repetitions),
    )
    row("a car: four such corners", timed(lambda t: run(check_of(corner, t, CORNERS)), repetitions))
    heading("Tightest moments alone, without doubt and levers")
    row("one such corner", timed(lambda turn: minima(turn), repetitions))
    row("a car", timed(lambda turn: minima(turn, CORNERS), repetitions))


def parts(repetitions: int) -> None:
    heading("Where the time of that corner goes", "share")
    rows: dict[str, list[Times]] = {}
    for turn in range(-3, repetitions):
        times = parts_of(check_of(strut_corner(), next(FRESH)))
        for what, once in times.items() if turn >= 0 else ():
            rows.setdefault(what, []).append(once)
    middle = {
        what: (statistics.median(w for w, _ in times), statistics.median(c for _, c in times))
        for what, times in rows.items()
    }
    total = sum(wall for wall, _ in middle.values())
    for what, spent in middle.items():
        row(what, spent, f"{100 * spent[0] / total:4.0f} %")


def parts_of(check: Check) -> dict[str, Times]:
    """Wall and processor milliseconds of the steps of one fresh check, in their order."""
    ((name, corner),) = check.corners.items()
    spent: dict[str, Times] = {}

    def part(what: str, work: Callable[[], T]) -> T:
        begin, used = time.perf_counter(), time.process_time()
        result = work()
        cpu, wall = time.process_time() - used, time.perf_counter() - begin
        spent[what] = (1e3 * wall, 1e3 * cpu)
        return result

    wheel, tyre, plan = corner.wheel, corner.tyre, corner.planned
    motion = motion_for(corner)
    envelope = envelope_for(corner, check.duty, static_travel=-plan.adjusters.ride_height_mm)
    spans = envelope.travel_span, envelope.steer_span
    settled = part("settle: camber and toe solved", lambda: motion.settle([plan]))
    part("map: hub over travel and steer", lambda: hub_map(motion, settled, *spans))
    part("features placed", lambda: courses_of(corner, motion))
    fine = part("section", lambda: section_of(wheel, tyre))
    rough = part("section, rough", lambda: section_of(wheel, tyre, True))
    setting = setting_of(name, corner, check.duty)
    part("room: features over all poses", lambda: setting.room.sweeps)
    found = part("search", lambda: closest(setting.room, fine, rough))
    moments = setting.room.meridian(found.spots)
    part("uncertainty", lambda: budget_of(setting, fine, rough, found))
    part("effects", lambda: effects(setting, fine, found, moments))
    return spent


def growth(repetitions: int) -> None:
    heading("What more points and poses cost", "poses of the first look")
    for what, corner in (
        ("3 edges, no lone points", strut_corner(0)),
        ("3 edges, 20 points", strut_corner(20)),
        ("3 edges, 80 points", strut_corner(80)),
        ("3 edges, 320 points", strut_corner(320)),
        ("20 points, steered, without loaded poses", strut_corner(loaded=False)),
        ("20 points, unsteered, with loaded poses", strut_corner(steered=False)),
        ("20 points, unsteered, without loaded poses", strut_corner(steered=False, loaded=False)),
    ):
        row(what, timed(partial(run_fresh, corner), repetitions), f"{poses(corner)}")


def run_fresh(corner: Corner, turn: int) -> None:
    run(check_of(corner, turn))


def poses(corner: Corner) -> int:
    """Poses of the first look."""
    sweep = setting_of("LF", corner, check_of(corner).duty).room.sweeps[0]
    return sweep.travel_mm.size * len(sweep.axial_mm)


def against_meshes(repetitions: int) -> None:
    check = check_of(strut_corner())
    ((name, corner),) = check.corners.items()
    setting = setting_of(name, corner, check.duty)
    section = section_of(corner.wheel, corner.tyre)
    begin, used = time.perf_counter(), time.process_time()
    mesh = MeshSearch(setting.room, section)
    built = 1e3 * (time.perf_counter() - begin), 1e3 * (time.process_time() - used)
    heading("The same minima with triangle meshes", "mesh     engine   differ")
    (answer,) = run(check).corners.values()
    worst = 0.0
    for index, place in enumerate(answer.places):
        spent = mesh.seconds, mesh.cpu_seconds
        apart = mesh.least(index) - place.clearance_mm
        worst = max(worst, abs(apart))
        row(
            place.place,
            (1e3 * (mesh.seconds - spent[0]), 1e3 * (mesh.cpu_seconds - spent[1])),
            f"{place.clearance_mm + apart:7.3f}  {place.clearance_mm:7.3f}  {apart:+.3f} mm",
        )
    clever = 1e3 * mesh.seconds, 1e3 * mesh.cpu_seconds
    row(f"all: pattern search, {mesh.queries} mesh distances", clever)
    row("the solid's mesh and its tree, for a wheel and tyre", built)
    whole = clever[0] + built[0], clever[1] + built[1]
    row("both: a check of a wheel and tyre not seen before", whole)
    alone = timed(minima, repetitions)
    row("the engine: settings, room, section and search", alone)
    kept = timed(lambda _: kept_section(setting, section), repetitions)
    row("the engine's search with room and section kept", kept)
    slopes = doubt_and_effects(mesh, setting, section)
    row("doubt and levers at the tightest moments", slopes)
    answer_cpu = whole[1] + slopes[1]
    engine = timed(lambda turn: run(check_of(strut_corner(), turn)), repetitions)
    row("the engine's whole answer", engine)
    looked = poses_looked_at(setting)
    each = clever[1] / mesh.queries
    print(
        f"  one distance to {mesh.triangles} triangles: {1e3 * each:.0f} microseconds\n"
        f"\nMeshes against the engine, processor time: {answer_cpu / engine[1]:.0f} times as long"
        f" for the whole answer with doubt and\nlevers; {whole[1] / alone[1]:.0f} times for the"
        f" tightest moments of a wheel and tyre not seen before;\n{clever[1] / kept[1]:.0f} times"
        f" with mesh, tree, room and section kept; {looked * each / kept[1]:.0f} times if they were"
        f" asked only in\nthe {looked} poses that the engine looks at. They agree within"
        f" {worst:.3f} mm."
    )


def doubt_and_effects(mesh: MeshSearch, setting: Setting, section: Section) -> Times:
    """What the slopes at the tightest moments cost with meshes: one more mesh for every changed
    section, a distance for every place and change. Poses are given to them."""
    found = closest(setting.room, section, section)
    room, (wheel, tyre) = setting.room, (setting.corner.wheel, setting.corner.tyre)
    poses = room.poses(found.spots)
    changed = [
        section_of(*resized(wheel, tyre, section, what, by))
        for what in ("section width", "overall diameter", "shoulder drop")
        for by in (STEP_MM, -STEP_MM)
    ]
    moved = 2 * (len(SIZES) + len(POSE_CHANGES)) + 1
    begin, used = time.perf_counter(), time.process_time()
    for other in changed:
        mesh.use(other)
        for index in range(len(room.courses)):
            mesh.distances(index, poses.hub[index : index + 1], poses.spin[index : index + 1])
    for index in range(len(room.courses)):
        again = np.full(moved, index)
        mesh.distances(index, poses.hub[again], poses.spin[again])
    return 1e3 * (time.perf_counter() - begin), 1e3 * (time.process_time() - used)


def minima(turn: int, corners: tuple[str, ...] = ("LF",)) -> None:
    """Everything from settings to tightest moments, without doubt, levers and words."""
    check = check_of(strut_corner(), turn, corners)
    for name, corner in check.corners.items():
        fine = section_of(corner.wheel, corner.tyre)
        rough = section_of(corner.wheel, corner.tyre, True)
        closest(setting_of(name, corner, check.duty).room, fine, rough)


def kept_section(setting: Setting, fine: Section) -> None:
    """The search alone."""
    corner = setting.corner
    closest(setting.room, fine, section_of(corner.wheel, corner.tyre, True))


def poses_looked_at(setting: Setting) -> int:
    """How many poses, each with one feature, the engine's search looks at: grid and refinement."""
    corner, room = setting.corner, setting.room
    fine = section_of(corner.wheel, corner.tyre)
    grid = sum(sweep.travel_mm.size * len(sweep.axial_mm) for sweep in room.sweeps)
    seen: set[tuple[float, ...]] = set()
    plain = Room.seen_in

    def watched(
        self: Room, spots: Moments, poses: HubPoses, on_strut: Array | None = None
    ) -> tuple[Array, Array, Array]:
        rows = np.column_stack([spots.which, spots.loaded, spots.steer, spots.share])
        seen.update(map(tuple, rows[room.moving[spots.which]]))
        return plain(self, spots, poses, on_strut)

    with unittest.mock.patch.object(Room, "seen_in", watched):
        closest(room, fine, section_of(corner.wheel, corner.tyre, True))
    return grid + len(seen)


def main() -> None:
    repetitions = int(sys.argv[1]) if len(sys.argv) > 1 else 25
    print(
        f"Python {platform.python_version()}, numpy {np.__version__}, {os.cpu_count()} processors"
    )
    checks(repetitions)
    parts(repetitions)
    growth(max(5, repetitions // 3))
    against_meshes(max(5, repetitions // 3))


if __name__ == "__main__":
    main()
