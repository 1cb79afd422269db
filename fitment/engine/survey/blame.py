"""Which reading most likely contradicts the wheel on the car.

For every figure that was read, x ± σ, the clearance g of the spot that would be touched is worked
out anew with x moved: the least |Δx|/σ for which g = 0 makes that figure the most likely one, as
in a least-squares fit with a single figure let go (the largest normalised residual; Baarda, *A
testing procedure for use in geodetic networks*, 1968). The first step is linear, the second a
bisection on the whole survey. Standard uncertainties are judgements of this project, no source;
those that enter a survey's own uncertainty are taken from ``reading_sigmas``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from fitment.engine.survey import reading_sigmas
from fitment.engine.survey.own_wheel import TOUCHES_MM, Nearest, clearances
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.reading_sheet import Sheet
from fitment.engine.survey.readings import JOINT_NAMES, Reading

#: Standard uncertainty of a figure as it is read: mm, degrees or inches.
SIGMAS: Mapping[tuple[str, str], float] = {
    ("setting", "camber_deg"): 0.05,
    ("setting", "toe_deg"): 0.05,
    ("setting", "height_mm"): 2.0,
    ("front_space", "front_space_mm"): 0.7,
    ("front_space", "offset_mm"): 1.0,
    ("front_space", "spacer_mm"): 0.3,
    ("front_space", "cap_depth_mm"): 0.7,
    ("present_tyre", "rim_width_in"): 0.1,
    ("present_tyre", "circumference_mm"): 5.0,
    ("present_tyre", "section_width_mm"): 1.0,
    ("pose", "plate_deg"): 1.0,
    ("pose", "height_mm"): 2.0,
    ("pose", "camber_deg"): reading_sigmas.ANGLE_READ_DEG,
    ("pose", "toe_deg"): reading_sigmas.ANGLE_READ_DEG,
    ("pose", "line_mm"): reading_sigmas.SHIFT_READ_MM,
    ("pose", "line_forward_mm"): reading_sigmas.SHIFT_READ_MM,
    ("toe_string", "front_mm"): 1.0,
    ("toe_string", "rear_mm"): 1.0,
    ("plumb_line", "height_mm"): reading_sigmas.TAPE_MM,
    ("plumb_line", "line_top_mm"): reading_sigmas.LINE_TO_RIM_MM,
    ("plumb_line", "line_bottom_mm"): reading_sigmas.LINE_TO_RIM_MM,
    ("plumb_line", "lip_radius_mm"): reading_sigmas.TAPE_MM,
    ("straightedge", "block_mm"): 0.5,
    ("straightedge", "along_mm"): reading_sigmas.TAPE_MM,
    ("straightedge", "edge_mm"): reading_sigmas.EDGE_MM,
    ("tape", "tape_mm"): reading_sigmas.TAPE_MM,
    ("tape", "axial_mm"): reading_sigmas.TAPE_MM,
    ("hub_bar", "thickness_mm"): 0.3,
    ("hub_bar", "along_mm"): reading_sigmas.HUB_BAR_MM,
    ("hub_bar", "depth_mm"): reading_sigmas.HUB_BAR_MM,
    ("gap", "gap_mm"): 1.5,
    ("gap", "beside_mm"): 5.0,
    ("turns_in", "turns_in_mm"): reading_sigmas.TAPE_MM,
    ("steer_axis", "caster_deg"): 0.5,
    ("steer_axis", "inclination_deg"): 0.5,
    ("steer_axis", "inboard_mm"): 10.0,
    ("steer_axis", "forward_mm"): 10.0,
}
#: A linear step in uncertainties, the reading's place in the sheet, its figure and uncertainty.
Step = tuple[float, int, str, float]
#: Joints in each direction, mm; those that are not named are bushes.
JOINT_SIGMA_MM = {"lower_ball_joint": 3.5, "tie_outer": 3.5, "tie_inner": 9.0}
BUSH_SIGMA_MM = 5.0
#: Readings, by their two best figures, that are followed beyond the linear step, and how far, in
#: standard uncertainties.
FOLLOWED, FARTHEST, HALVINGS = 5, 400.0, 7
#: A figure that changes the clearance by less than this for each of its uncertainties, mm, does
#: not touch it; and so many readings are named.
LEAST_SLOPE_MM, MOST = 0.02, 3


@dataclass(frozen=True)
class Blamed:
    """A figure that resolves a contradiction, the reading that it is of, and what it would be.

    ``sigmas`` is how far that is from what was read, in its own standard uncertainties.
    """

    reading: Reading
    figure: str
    words: str
    read: float
    wanted: float
    sigmas: float

    @property
    def unit(self) -> str:
        """``mm``, ``deg`` or ``in``."""
        return self.figure.rsplit("_", 1)[-1]


def most_likely(
    sheet: Sheet, base: Mapping[str, Any] | None, spot: str, nearest: Nearest
) -> tuple[Blamed, ...]:
    """Readings whose change lets the wheel on the car clear a spot, the smallest change first.

    ``nearest`` is where the spot would be touched. One figure of a reading, MOST readings at most.
    """
    at = (spot, nearest.steer_deg)

    def gap(index: int, figure: str, by: float) -> float | None:
        found = clearances(_with(sheet, index, figure, by), base, at).get(spot)
        return None if found is None else found.gap_mm

    linear: list[Step] = []
    for index, figure, sigma in _figures(sheet.readings):
        moved = gap(index, figure, sigma)
        slope = 0.0 if moved is None else moved - nearest.gap_mm
        if abs(slope) > LEAST_SLOPE_MM:
            linear.append((-nearest.gap_mm / slope, index, figure, sigma))
    linear.sort(key=lambda row: abs(row[0]))
    found: dict[int, Blamed] = {}
    for first, index, figure, sigma in _followed(linear):
        sigmas = _least(partial(_open, gap, index, figure, sigma), first)
        if sigmas is None or (index in found and found[index].sigmas <= abs(sigmas)):
            continue
        found[index] = _blamed(sheet.readings[index], figure, sigmas, sigma)
    return tuple(sorted(found.values(), key=lambda one: one.sigmas)[:MOST])


def _followed(linear: list[Step]) -> list[Step]:
    """Of steps, the smallest first, the two best of each of the first readings."""
    best: dict[int, list[Step]] = {}
    for step in linear:
        best.setdefault(step[1], []).append(step)
    return [step for rows in list(best.values())[:FOLLOWED] for step in rows[:2]]


def _open(
    gap: Callable[[int, str, float], float | None],
    index: int,
    figure: str,
    sigma: float,
    steps: float,
) -> bool:
    """Whether the spot clears with a figure moved by so many of its uncertainties."""
    found = gap(index, figure, steps * sigma)
    return found is not None and found >= -TOUCHES_MM


def _least(clears: Callable[[float], bool], first: float) -> float | None:
    """The least step, signed, with which a spot clears, followed from the linear one."""
    step = first
    while abs(step) <= FARTHEST and not clears(step):
        step *= 1.4
    if abs(step) > FARTHEST:
        return None
    shut, clear = 0.0, step
    for _ in range(HALVINGS):
        middle = (shut + clear) / 2
        if clears(middle):
            clear = middle
        else:
            shut = middle
    return clear


def _with(sheet: Sheet, index: int, figure: str, by: float) -> Sheet:
    """The sheet with one figure moved."""
    readings = list(sheet.readings)
    one = readings[index]
    values = {**one.values, figure: (one.number(figure) or 0.0) + by}
    readings[index] = replace(one, values=values)
    return Sheet(readings, sheet.base)


def _figures(readings: Sequence[Reading]) -> Iterator[tuple[int, str, float]]:
    """Every number that was read, with its standard uncertainty."""
    for index, reading in enumerate(readings):
        for figure in reading.values:
            sigma = sigma_of(reading, figure)
            if sigma is not None and reading.number(figure) is not None:
                yield index, figure, sigma


def sigma_of(reading: Reading, figure: str) -> float | None:
    """Standard uncertainty of a figure; None for one that tells nothing of where things are."""
    if reading.form == "joint":
        return JOINT_SIGMA_MM.get(JOINT_NAMES.get(reading.text("joint"), ""), BUSH_SIGMA_MM)
    if figure in ("clock_deg", "level_deg"):
        return reading_sigmas.CLOCK_DEG
    return SIGMAS.get((reading.form, figure))


def _blamed(reading: Reading, figure: str, sigmas: float, sigma: float) -> Blamed:
    asked = {one.name: one.words for one in FORMS[reading.form].figures_in(reading.pose)}
    read = reading.number(figure) or 0.0
    words = asked.get(figure, figure).rsplit(",", 1)[0]
    return Blamed(reading, figure, words, read, read + sigmas * sigma, abs(sigmas))
