# ruff: noqa: T201  the tables go to the terminal; one thread is set before numpy loads
"""How long it takes to hold many wheels against one room, and to search for options.

    python -m tests.benchmarks.bench_search [repetitions]

One process, warm; the least of the repetitions, since a busy machine only adds to it. Prints
tables and fails nothing: the machine decides the figures.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the shop's server sets it

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import TypeVar

import numpy as np

from alignment.geometry.frames import Array
from fitment.engine.defaults import STREET
from fitment.engine.minimum.closest import closest
from fitment.engine.minimum.setting import Setting, setting_of
from fitment.engine.model import Corner, Feature, SurveyPoint, Tyre, Wheel
from fitment.engine.search.combos import Combos
from fitment.engine.search.limits import Within
from fitment.engine.search.model import Options, Progress, Question
from fitment.engine.search.options import options
from fitment.engine.search.settings import Steps, settings_within
from fitment.engine.search.space import Space, SpacerChoice, TyreChoice, WheelChoice
from fitment.engine.solid.designation import size_of
from fitment.engine.solid.section import section_of
from tests.benchmarks.corners import strut_corner
from tests.engine.roomiest import all_combos, roomiest

T = TypeVar("T")
SPOKES = ((2.0, 60.0), (6.0, 190.0))
ALSO_CHECKED = 60


def timed(work: Callable[[], T], repetitions: int) -> tuple[float, float, T]:
    """Least wall and processor seconds of ``work``, and what it gave."""
    wall, cpu = [], []
    for _ in range(repetitions):
        section_of.cache_clear()
        begin, used = time.perf_counter(), time.process_time()
        result = work()
        cpu.append(time.process_time() - used)
        wall.append(time.perf_counter() - begin)
    return min(wall), min(cpu), result


# --- One room, 100,000 combinations -----------------------------------------------------


def many_combos() -> Combos:
    """Wheels of five widths and ten offsets, 27 sizes by four makes, twenty spacers."""
    rng = np.random.default_rng(0)
    wheels = [
        Wheel(17.0, width, float(offset), barrel_mm=12.0, spoke_back=SPOKES)
        for width in (7.0, 7.5, 8.0, 8.5, 9.0)
        for offset in range(20, 60, 4)
    ]
    tyres = []
    for width in range(215, 305, 10):
        for aspect in (40, 45, 50):
            size = size_of(f"{width}/{aspect}R17")
            for _ in range(4):
                tyres.append(
                    Tyre(
                        f"{width}/{aspect}R17",
                        section_width_mm=size.width_mm + float(rng.uniform(-4, 8)),
                        measuring_rim_in=size.measuring_rim_in,
                        overall_diameter_mm=size.overall_diameter_mm + float(rng.uniform(-5, 5)),
                    )
                )
    return all_combos(wheels, tyres, [float(mm) for mm in range(20)])


def room(repetitions: int) -> None:
    corner = without_caliper(strut_corner())
    setting, combos = setting_of("LF", corner, STREET), many_combos()
    wall, cpu, found = timed(lambda: roomiest(setting, combos, 20), repetitions)
    print(f"One room against {len(combos):,} combinations, the 20 best confirmed")
    print(f"  {wall:.2f} s wall, {cpu:.2f} s processor")
    off, order = 0.0, np.argsort(-found.slack_mm, kind="stable")
    for index in order[:ALSO_CHECKED]:
        wheel, tyre = combos.at(int(index))
        full = closest(setting.room, section_of(wheel, tyre), section_of(wheel, tyre, coarse=True))
        slack = float((full.clearance_mm - room_needed(setting)).min())
        best = [fit.slack_mm for fit in found.best if fit.index == index]
        off = max(off, abs(slack - best[0]) if best else slack - found.best[-1].slack_mm)
    print(f"  the {ALSO_CHECKED} most hopeful checked one by one: at most {off:.4f} mm off")


def room_needed(setting: Setting) -> Array:
    """What every place of a room needs."""
    soft, hard = setting.duty.needed_soft_mm, setting.duty.needed_hard_mm
    return np.array([soft if c.feature.surface == "soft" else hard for c in setting.room.courses])


def without_caliper(corner: Corner) -> Corner:
    """A corner whose body alone decides, so that the best are not all equal."""
    features = tuple(f for f in corner.survey.features if f.carried_by == "body")
    return replace(corner, survey=replace(corner.survey, features=features))


# --- A full search ----------------------------------------------------------------------


def close_corner(lip_mm: float = 352.0) -> Corner:
    """The same corner with a lower arch, so that what is planned rubs."""
    corner = strut_corner()
    lip = tuple(
        SurveyPoint(p.clock_deg, p.radius_mm - 384.0 + lip_mm, p.axial_mm)
        for p in corner.survey.features[0].points
    )
    first = replace(corner.survey.features[0], points=lip)
    features: tuple[Feature, ...] = (first, *corner.survey.features[1:])
    return replace(
        corner,
        survey=replace(corner.survey, features=features),
        suspension=replace(
            corner.suspension, reach={"top_mount_in_mm": (-10, 30), "lower_arm_out_mm": (-4, 25)}
        ),
        wheel=Wheel(17.0, 9.0, 35.0, barrel_mm=12.0, spoke_back=SPOKES),
        tyre=Tyre("255/40R17", 258.0, 9.0, 636.0),
    )


def demo_space(corner: Corner, wheels: int = 12, tyres: int = 30, spacers: int = 6) -> Space:
    """A shop's catalogue around what is planned, 30 settings."""
    offsets = [(width, offset) for width in (9.0, 8.5, 8.0, 7.5) for offset in (35.0, 42.0, 48.0)]
    some_wheels = tuple(
        WheelChoice(
            f"wheel {i}",
            Wheel(17.0, width, offset, barrel_mm=12.0, spoke_back=SPOKES),
            Decimal(250 + 10 * i),
            690.0,
        )
        for i, (width, offset) in enumerate(offsets[:wheels])
    )
    rng = np.random.default_rng(4)
    some_tyres = [TyreChoice("planned", corner.tyre, Decimal(210), 94, "Y", (8.5, 10.0))]
    sizes = [f"{width}/{aspect}R17" for width in range(255, 195, -10) for aspect in (40, 45)]
    while len(some_tyres) < tyres:
        text = sizes[len(some_tyres) % len(sizes)]
        size = size_of(text)
        rim = size.measuring_rim_in
        some_tyres.append(
            TyreChoice(
                f"tyre {len(some_tyres)}",
                Tyre(
                    text,
                    size.width_mm + float(rng.integers(-2, 7)),
                    rim,
                    size.overall_diameter_mm + float(rng.integers(-3, 4)),
                ),
                Decimal(int(rng.integers(90, 220))),
                int(rng.integers(88, 99)),
                "W",
                (rim - 0.5, rim + 1.0),
            )
        )
    thick = (0.0, 3.0, 5.0, 8.0, 10.0, 15.0)[:spacers]
    return Space(
        settings_within(
            corner.planned,
            corner.suspension,
            Steps(
                camber_deg=(-2.0, -2.8, -3.2),
                camber_method=("top_mount", "lower_arm"),
                ride_height_mm=(-8.0, 0.0),
                bump_stop_mm=(10.0,),
                prices={"packer": Decimal(18)},
            ),
            most=30,
        ),
        some_wheels,
        tuple(some_tyres),
        tuple(SpacerChoice(mm, Decimal(25) if mm else Decimal(0)) for mm in thick),
    )


def question(corner: Corner) -> Question:
    return Question(
        {"LF": corner, "RF": corner},
        STREET,
        demo_space(corner),
        Within(camber_deg=(-3.3, -1.5), diameter_mm=(600.0, 660.0), load_kg=500.0, speed_kmh=210.0),
    )


def search(repetitions: int) -> None:
    asked = question(close_corner())
    heard: list[Progress] = []

    def watch(progress: Progress) -> bool:
        heard.append(progress)
        return True

    wall, cpu, found = timed(lambda: options(asked, watch), repetitions)
    print(
        f"\nA search over {len(asked.space.settings)} settings, {len(asked.space.wheels)} wheels, "
        f"{len(asked.space.tyres)} tyres, {len(asked.space.spacers)} spacers: "
        f"{found.candidates:,} candidates"
    )
    print(f"  {wall:.2f} s wall, {cpu:.2f} s processor; progress told {len(heard)} times")
    print(f"  {found.judged} judged as a check would, all looked at: {found.complete}")
    show(found)


def show(found: Options) -> None:
    for way in found.options:
        print(
            f"    {', '.join(way.wins) or 'also':<24} {way.verdict:<6} "
            f"slack {way.slack_mm:5.1f} mm, price {way.price}, effort {way.effort:.1f}: "
            f"{', '.join(sorted(way.changes))}"
        )
    for reason in found.ruled_out[:8]:
        print(f"    ruled out {reason.count:>6}: {reason.reason} {reason.what}")


def main(repetitions: int = 3) -> None:
    room(repetitions)
    search(repetitions)


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:2]))
