"""Options against a full check of every candidate, limits, and stopping half-way."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import product

import numpy as np
import pytest

from alignment.geometry.model import CURVES, KINDS, Planned
from common.message import Message, message
from fitment.engine.check import CannotCheck, run, solids_of
from fitment.engine.defaults import STREET, TRACK
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import (
    Answer,
    Check,
    Corner,
    CornerAnswer,
    GapReading,
    Present,
    Tyre,
    Wheel,
)
from fitment.engine.search.aims import LEAST_CHANGE, LEAST_COST, MOST_CLEARANCE, WIDEST
from fitment.engine.search.candidate_check import stand_of
from fitment.engine.search.effort import fit_effort, setting_effort
from fitment.engine.search.fits import fits_within
from fitment.engine.search.limits import (
    BUDGET,
    DIAMETER,
    LOAD,
    RIM_DIAMETER,
    RIM_WIDTH,
    RULE,
    SPEED,
    Rule,
    Within,
)
from fitment.engine.search.listing import Place, Standing, listing
from fitment.engine.search.model import (
    CAMBER_LIMIT,
    NO_BETTER,
    NOT_LOOKED_AT,
    NOT_MEASURED,
    OUT_OF_REACH,
    TOUCHES,
    Option,
    Options,
    Progress,
    Question,
    RuledOut,
    axles_of,
)
from fitment.engine.search.options import options, parts_of
from fitment.engine.search.part import Before, some_options
from fitment.engine.search.prices import axle_price
from fitment.engine.search.settings import Steps, settings_within
from fitment.engine.search.sizes import standard_sizes
from fitment.engine.search.space import (
    SettingChange,
    Space,
    SpacerChoice,
    TyreChoice,
    WheelChoice,
    fit_kinds,
    things,
)
from fitment.engine.solid.mounted import mounted
from fitment.engine.uncertainty.this_car import predicted_gap, present_setting
from tests.benchmarks.corners import strut_corner
from tests.engine.close_corners import SPOKES, close_corner
from tests.engine.random_corners import square_section
from tests.nights import day_and_night

#: A case with many ways: double wishbones, nothing out of reach.
RICH = 13
#: Every kind of suspension, two sides that differ, gaps that were read: seeds give all three.
BY_DAY = (2, 3, 4, 6, 7, 8, 9, RICH)
AIMS = (LEAST_CHANGE, LEAST_COST, MOST_CLEARANCE, WIDEST)
#: Rims that every tyre of these cases is for.
RIMS = (7.0, 9.5)


# --- Cases ------------------------------------------------------------------------------


def small_space(rng: np.random.Generator, corner: Corner) -> Space:
    """Three settings, two wheels, two tyres, two spacers."""
    camber_method = corner.suspension.camber_methods
    height = corner.planned.adjusters.ride_height_mm
    settings = (
        SettingChange(),
        SettingChange(camber_by=camber_method[-1], price=Decimal(140)),
        SettingChange(camber_deg=-2.6, ride_height_mm=height + 8.0),
    )
    offset = corner.wheel.offset_mm
    other = Wheel(17.0, 8.5, offset + float(rng.integers(2, 12)), barrel_mm=12.0, spoke_back=SPOKES)
    tyres = [TyreChoice("planned", corner.tyre, Decimal(210), rim_in=RIMS)]
    width, tall = float(rng.integers(216, 243)), float(rng.integers(612, 632))
    price = Decimal(int(rng.integers(120, 240)))
    tyres.append(TyreChoice("narrow", Tyre("225/45R17", width, 8.0, tall), price, rim_in=RIMS))
    return Space(
        settings,
        (
            WheelChoice("planned", replace(corner.wheel, spacer_mm=0.0), Decimal(280)),
            WheelChoice("other", other, Decimal(int(rng.integers(200, 320)))),
        ),
        tuple(tyres),
        (SpacerChoice(0.0), SpacerChoice(float(rng.integers(3, 12)), Decimal(20))),
    )


def a_question(seed: int) -> Question:
    rng = np.random.default_rng([11, seed])
    corner = close_corner(rng, KINDS[seed % len(KINDS)])
    corners = {"LF": corner}
    if seed % 5 == 4:  # the two sides differ
        lip = corner.survey.features[0]
        nearer = tuple(replace(p, radius_mm=p.radius_mm - 2.0) for p in lip.points)
        features = (replace(lip, points=nearer), *corner.survey.features[1:])
        corners["RF"] = replace(corner, survey=replace(corner.survey, features=features))
    if seed % 5 == 2:  # a gap was read on this very car, a little less than the survey says
        narrow = Wheel(17.0, 7.5, 45.0), Tyre("225/45R17", 225.0, 7.5, 634.0)
        reading = GapReading("arch lip", 0.0, sigma_mm=0.5)
        there = Present(Planned(0.05), *narrow, (reading,))
        model = predicted_gap(present_setting(corner, there, STREET), 0, reading)
        there = replace(there, gaps=(replace(reading, gap_mm=model - float(rng.uniform(0, 3))),))
        corners = {"LF": replace(corner, present=there)}
    return Question(corners, STREET, small_space(rng, corner), aims=AIMS, few=8)


@dataclass(frozen=True)
class Checked:
    """One candidate by a full check: indices of setting, wheel, tyre, spacer."""

    at: tuple[int, int, int, int]
    answer: Answer | None

    @property
    def clears(self) -> bool:
        return (
            self.answer is not None
            and self.answer.verdict.clears
            and not any(one.out_of_reach for one in self.answer.corners.values())
        )

    @property
    def least_mm(self) -> float:
        assert self.answer is not None
        return min(p.clearance_mm for a in self.answer.corners.values() for p in a.places)


def everything(question: Question) -> Iterator[Checked]:
    """A full check of every candidate, in the order of the space."""
    space = question.space
    counts = (len(space.settings), len(space.wheels), len(space.tyres), len(space.spacers))
    for at in product(*map(range, counts)):
        change, wheel = space.settings[at[0]], space.wheels[at[1]].wheel
        corners = {
            name: replace(
                corner,
                planned=change.made_to(corner.planned),
                wheel=replace(wheel, spacer_mm=space.spacers[at[3]].mm),
                tyre=space.tyres[at[2]].on(wheel),
            )
            for name, corner in question.corners.items()
        }
        try:
            answer = run(Check("brute", question.duty, corners))
        except CannotCheck:
            yield Checked(at, None)
            continue
        yield Checked(at, answer)


@dataclass(frozen=True)
class Measures:
    """Things changed, effort, price and mounted width of a candidate."""

    things: int
    effort: float
    price: float
    width_mm: float


def measures(question: Question, one: Checked) -> Measures:
    space, (s, w, t, p) = question.space, one.at
    planned = next(iter(question.corners.values())).planned
    effort = setting_effort(space.settings[s], planned, question.weights)
    effort += fit_effort(space, w, t, p, question.weights)
    price = axle_price(space.settings[s], space.wheels[w], space.tyres[t], space.spacers[p])
    wheel = space.wheels[w].wheel
    width = mounted(wheel, space.tyres[t].on(wheel)).section_width_mm
    kinds = space.settings[s].kinds(planned) | fit_kinds(w, t, p)
    return Measures(things(kinds), round(effort, 9), float(price or 0), round(width, 3))


def offered(found: Options, aims: tuple[str, ...], few: int = 8) -> list[tuple[Option, Place]]:
    """Options in the order in which they are offered."""
    standings = [Standing(one.ranks, one.changes, one.fails) for one in found.options]
    return [(found.options[place.index], place) for place in listing(standings, aims, few)]


def place_of(question: Question, found: Options, aim: str) -> tuple[int, int, int, int] | None:
    """Indices of the option that is best for an aim."""
    for option, place in offered(found, question.aims):
        if aim in place.wins:
            space = question.space
            return (
                space.settings.index(option.setting),
                space.wheels.index(option.wheel),
                space.tyres.index(option.tyre),
                space.spacers.index(option.spacer),
            )
    return None


# --- Against brute force ----------------------------------------------------------------


@pytest.mark.parametrize("seed", day_and_night(BY_DAY, range(80)))
def test_a_full_check_of_every_candidate_names_the_same_winners(seed: int) -> None:
    question = a_question(seed)
    found = options(question)
    assert found.complete
    checked = list(everything(question))
    clear = {one.at: one for one in checked if one.clears}
    assert found.candidates == len(checked)
    assert clear or seed >= 20, "a case in which nothing clears proves little"
    if not clear:
        assert found.options == ()
        return
    winners_agree(question, found, clear)


def winners_agree(
    question: Question, found: Options, clear: dict[tuple[int, int, int, int], Checked]
) -> None:
    """Every aim's winner is the one that checks of all candidates name."""
    size = {at: measures(question, one) for at, one in clear.items()}
    least = {
        LEAST_CHANGE: lambda m: (m.things, m.price, m.effort),
        LEAST_COST: lambda m: (m.price, m.things, m.effort),
        WIDEST: lambda m: (-m.width_mm, m.things, m.price, m.effort),
    }
    for aim, key in least.items():
        best = min(clear, key=lambda at, key=key: (*key(size[at]), at))  # type: ignore[misc]
        assert place_of(question, found, aim) == best, aim
    roomiest = place_of(question, found, MOST_CLEARANCE)
    assert roomiest in clear
    most = max(one.least_mm for one in clear.values())
    assert clear[roomiest].least_mm == pytest.approx(most, abs=0.05)


@pytest.mark.parametrize("seed", day_and_night([3, RICH], [0, 8]))
def test_a_traced_tyre_is_judged_with_its_trace_on_the_rim_of_the_trace(seed: int) -> None:
    """Square shoulders, 61 points, on the first wheel alone: as a full check of every candidate."""
    question = a_question(seed)
    space = question.space
    narrow = space.tyres[1]
    wheel = space.wheels[0].wheel
    traced = replace(narrow.tyre, profile=square_section(wheel, narrow.tyre))
    tyres = (space.tyres[0], replace(narrow, traced=(wheel.width_in, traced)))
    question = replace(question, space=replace(space, tyres=tyres))
    assert tyres[1].on(wheel).profile
    assert not tyres[1].on(space.wheels[1].wheel).profile
    found = options(question)
    clear = {one.at: one for one in everything(question) if one.clears}
    winners_agree(question, found, clear)
    for option in found.options:
        for corner in option.corners.values():
            worn = option.tyre is tyres[1] and corner.wheel.width_in == wheel.width_in
            assert bool(corner.tyre.profile) == worn


@pytest.mark.parametrize("seed", day_and_night([8], [3, 4, RICH]))
def test_wheels_with_a_stated_bead_seat_are_searched_as_they_are_checked(seed: int) -> None:
    """The specified diameter of a 17 in rim is 5 mm more than its marking says."""
    question = a_question(seed)
    wheels = tuple(
        replace(one, wheel=replace(one.wheel, rim_diameter_mm=436.6))
        for one in question.space.wheels
    )
    question = replace(question, space=replace(question.space, wheels=wheels))
    fits = fits_within(question.space, question.within)
    for corner in question.corners.values():
        stand = stand_of(("LF",), setting_of("LF", corner, question.duty), fits.combos)
        for fit in range(len(fits.triples)):
            setting = stand.with_fit(*fits.combos.at(fit))
            found = solids_of(setting).found.clearance_mm + stand.weighed.shift
            assert np.all(stand.weighed.gaps[fit] >= found - 1e-3)
    found_options = options(question)
    clear = {one.at: one for one in everything(question) if one.clears}
    assert clear
    winners_agree(question, found_options, clear)


@pytest.mark.parametrize("seed", [1, 8, RICH, 19])
def test_what_is_offered_clears_in_a_check_of_its_own(seed: int) -> None:
    question = a_question(seed)
    found = options(question)
    for option in found.options:
        answer = run(Check("again", question.duty, option.corners))
        assert answer.verdict == option.verdict
        assert answer.verdict.clears
        assert answer.corners == option.answers
        assert not any(corner.out_of_reach for corner in answer.corners.values())
        places = [p.clearance_mm for one in answer.corners.values() for p in one.places]
        assert option.tightest.clearance_mm == min(places)


@pytest.mark.parametrize("seed", [0, 8, RICH])
def test_every_candidate_clears_or_fell_for_a_reason(seed: int) -> None:
    found = options(a_question(seed))
    fell = sum(one.count for one in found.ruled_out)
    assert len(found.options) <= found.cleared == found.candidates - fell <= found.judged
    assert all(one.count > 0 for one in found.ruled_out)


def test_options_that_differ_change_different_things() -> None:
    found = options(replace(a_question(7), aims=(LEAST_CHANGE,)))
    rows = [option for option, _ in offered(found, (LEAST_CHANGE,))]
    assert len(rows) > 1
    for one, other in product(rows, rows):
        if one is not other:
            assert not one.changes <= other.changes


# --- Limits -----------------------------------------------------------------------------


def limited(**limits: object) -> Question:
    return replace(a_question(RICH), within=Within(**limits))  # type: ignore[arg-type]


def counts(found: Options) -> dict[Message, int]:
    return {one.why: one.count for one in found.ruled_out}


def reasons(found: Options) -> set[str]:
    return {one.why.code for one in found.ruled_out}


def test_the_target_camber_range_is_kept() -> None:
    found = options(limited(camber_deg=(-2.0, -1.5)))
    assert all(option.setting.camber_deg is None for option in found.options)
    assert counts(found)[message(CAMBER_LIMIT, camber_deg=-2.6)] == 8


def test_an_overall_diameter_limit_is_kept_and_counted() -> None:
    question = limited(diameter_mm=(630.0, 640.0))
    found = options(question)
    for option in found.options:
        size = mounted(option.wheel.wheel, option.tyre.tyre)
        assert 630.0 <= size.overall_diameter_mm <= 640.0
    assert DIAMETER in reasons(found)


def test_a_budget_leaves_out_what_is_dearer() -> None:
    free = options(limited())
    cheapest = min(option.price for option in free.options if option.price is not None)
    found = options(limited(budget=cheapest))
    assert found.options
    assert all(option.price is not None and option.price <= cheapest for option in found.options)
    assert counts(found)[message(BUDGET)] > 0
    assert options(limited(budget=cheapest - 1)).options == ()


def test_load_speed_and_approved_rims_are_kept_and_what_is_not_known_is_said() -> None:
    question = a_question(RICH)
    planned, narrow = question.space.tyres
    tyres = (
        replace(planned, load_index=80, speed_symbol="Y"),
        replace(narrow, load_index=95, speed_symbol="T"),
        replace(narrow, rim_in=(6.0, 8.0)),
    )
    space = replace(question.space, tyres=tyres)
    found = options(replace(question, space=space, within=Within(load_kg=500, speed_kmh=210)))
    assert found.options == ()
    assert {LOAD, SPEED, RIM_WIDTH} <= reasons(found)
    unknown = options(replace(question, within=Within(load_kg=500, speed_kmh=210)))
    assert unknown.options
    assert message("missing.tyre-load-index") in unknown.options[0].not_known
    assert message("missing.wheel-load") in unknown.options[0].not_known


def test_rules_of_a_class_are_kept() -> None:
    question = a_question(RICH)
    rules = Within(
        rules=(
            Rule("no spacers", fit=lambda wheel, tyre, spacer: spacer == 0.0),
            Rule("means as made", setting=lambda planned: planned.camber_by == "lower_arm"),
        )
    )
    found = options(replace(question, within=rules))
    assert found.options
    assert all(
        not option.spacer.mm and option.setting.camber_by is None for option in found.options
    )
    assert counts(found)[message(RULE, rule="no spacers")] == 12
    assert counts(found)[message(RULE, rule="means as made")] == 4


def test_what_the_parts_cannot_reach_is_never_offered() -> None:
    question = a_question(RICH)
    (corner,) = question.corners.values()
    short = replace(
        corner, suspension=replace(corner.suspension, reach={"upper_arm_in_mm": (-0.1, 0.1)})
    )
    found = options(replace(question, corners={"LF": short}))
    upper_arm = message(OUT_OF_REACH, adjuster=message("adjuster.upper_arm_in_mm"))
    assert counts(found)[upper_arm] == 8
    assert all(option.setting.camber_by is None for option in found.options)


def test_an_unmeasured_corner_has_no_options() -> None:
    question = a_question(RICH)
    (corner,) = question.corners.values()
    unknown = replace(corner, limits=replace(corner.limits, bump_mm=None))
    found = options(replace(question, corners={"LF": unknown}))
    assert found.options == ()
    bare = tuple(f for f in corner.survey.features if f.place != "arch lip")
    found = options(
        replace(
            question,
            corners={"LF": replace(corner, survey=replace(corner.survey, features=bare, open=()))},
        )
    )
    assert found.options == ()


def test_a_wheel_whose_inside_is_unmeasured_is_never_offered_over_a_caliper() -> None:
    question = a_question(RICH)
    wheels = tuple(
        replace(one, wheel=replace(one.wheel, spoke_back=())) for one in question.space.wheels
    )
    found = options(replace(question, space=replace(question.space, wheels=wheels)))
    assert found.options == ()
    assert message(NOT_MEASURED, what="caliper") in counts(found)


# --- What is asked for -----------------------------------------------------------------


def test_the_widest_tyre_that_clears_with_the_parts_on_the_car() -> None:
    question = a_question(RICH)
    (corner,) = question.corners.values()
    sizes = standard_sizes(17.0, 9.0, diameter_mm=(600.0, 640.0), width_mm=(215, 275))
    assert sizes
    assert all(one.nominal for one in sizes)
    space = Space(
        (SettingChange(),),
        question.space.wheels[:1],
        (question.space.tyres[0], *(replace(one, rim_in=RIMS) for one in sizes)),
        (SpacerChoice(0.0),),
    )
    goal = Question({"LR": corner}, TRACK, space, aims=(WIDEST,), few=3)
    found = options(goal)
    clear = [one for one in everything(goal) if one.clears]
    assert found.options
    widest = max(measures(goal, one).width_mm for one in clear)
    first = offered(found, goal.aims)[0][0]
    best = mounted(first.wheel.wheel, first.tyre.tyre)
    assert best.section_width_mm == pytest.approx(widest, abs=1e-3)


# --- Work -------------------------------------------------------------------------------


def test_a_search_tells_how_far_it_is_and_stops_when_asked() -> None:
    question = a_question(RICH)
    heard: list[Progress] = []

    def on(progress: Progress) -> bool:
        heard.append(progress)
        return True

    whole = options(question, on)
    assert heard[0].settled == 1
    assert heard[-1].settled == heard[-1].settings == 3
    assert heard[-1].judged == whole.judged
    for last in range(0, len(heard), 3):
        count = iter(range(last))
        part = options(question, lambda _, count=count: next(count, None) is not None)  # type: ignore[misc]
        assert not part.complete
        assert all(one.verdict.clears for one in part.options)
        assert part.candidates == whole.candidates
        fell = sum(one.count for one in part.ruled_out)
        assert part.cleared == part.candidates - fell


def test_work_that_is_bounded_says_what_was_not_looked_at() -> None:
    whole = options(a_question(RICH))
    assert NOT_LOOKED_AT not in reasons(whole)
    found = options(replace(a_question(RICH), most_judged=1))
    assert found.judged <= 1
    assert not found.complete
    assert NOT_LOOKED_AT in reasons(found)


def test_what_was_not_judged_is_no_better_and_counted() -> None:
    question = replace(a_question(RICH), aims=(WIDEST,), few=1)
    found = options(question)
    (best,) = found.options
    counted = sum(one.count for one in found.ruled_out if one.why.code == NO_BETTER)
    assert counted > 0
    clear = [one for one in everything(question) if one.clears]
    assert len(clear) > found.cleared
    assert max(measures(question, one).width_mm for one in clear) == best.width_mm


@pytest.mark.parametrize("seed", [8, RICH])
def test_parts_of_a_search_find_what_one_search_finds(seed: int) -> None:
    question = a_question(seed)
    fits = fits_within(question.space, question.within)
    parts = parts_of(question.space.settings, len(fits.triples), 1)
    assert [len(part) for part in parts] == [1, 1, 1]
    before, found = Before(), []
    for part in parts:
        one = some_options(question, fits, part, before)
        found += one.options
        before = before.and_found(one.options)
    whole = options(question)
    joined = replace(whole, options=tuple(found))
    for aim in AIMS:
        assert place_of(question, joined, aim) == place_of(question, whole, aim)


def test_what_fails_a_mounting_check_stands_after_and_takes_no_place() -> None:
    """The widest that clears fails something: the widest of those that pass is the first."""
    question = replace(a_question(RICH), aims=(WIDEST,), few=2)
    clear = {one.at: one for one in everything(question) if one.clears}
    widths = sorted({measures(question, one).width_mm for one in clear.values()}, reverse=True)
    assert len(widths) > 1

    def passes(corners: Mapping[str, Corner], answers: Mapping[str, CornerAnswer]) -> bool:
        assert corners.keys() == answers.keys() == question.corners.keys()
        width = mounted(corners["LF"].wheel, corners["LF"].tyre).section_width_mm
        return width < widths[0] - 1e-3

    rows = offered(options(replace(question, passes=passes)), (WIDEST,), few=2)
    assert rows[0][0].width_mm == widths[1]
    assert rows[0][1].wins == (WIDEST,)
    standing = [option.fails for option, _ in rows]
    assert standing == sorted(standing)
    assert standing.count(True) > 0
    for option, place in rows:
        assert option.fails == (option.width_mm > widths[1])
        assert not (option.fails and place.wins)
    none = offered(options(replace(question, passes=lambda *_: False)), (WIDEST,), few=2)
    assert none[0][0].width_mm == widths[0]
    assert none[0][1].wins == (WIDEST,)
    assert all(option.fails for option, _ in none)


def test_the_same_question_gets_the_same_answer() -> None:
    question = a_question(3)
    assert options(question) == options(question)


def test_nothing_to_choose_from_gives_nothing() -> None:
    question = a_question(RICH)
    space = replace(question.space, tyres=(TyreChoice("odd", Tyre("205/40R12")),))
    found = options(replace(question, space=space))
    assert found.options == ()
    assert found.ruled_out == (RuledOut(message(RIM_DIAMETER, rim_in=12.0), 12),)


def test_a_check_falls_into_axles() -> None:
    corner = strut_corner()
    check = Check("four", STREET, dict.fromkeys(("LF", "RF", "LR", "RR"), corner))
    assert {axle: list(corners) for axle, corners in axles_of(check).items()} == {
        "front": ["LF", "RF"],
        "rear": ["LR", "RR"],
    }


# --- What there could be ----------------------------------------------------------------


def test_settings_come_smallest_first_and_each_once() -> None:
    corner = strut_corner()
    steps = Steps(
        camber_deg=(-2.3, -2.0, -2.8),
        ride_height_mm=(-15.0, -5.0),
        bump_stop_mm=(10.0,),
        prices={"packer": Decimal(12), "camber_method:knuckle": Decimal(30)},
    )
    settings = settings_within(corner.planned, corner.suspension, steps)
    assert settings[0] == SettingChange()
    assert len(settings) == 3 * 3 * 2 * 2
    made = [repr(change.made_to(corner.planned)) for change in settings]
    assert len(set(made)) == len(made)
    packers = [change.price for change in settings if change.bump_stop_mm and not change.camber_by]
    assert set(packers) == {Decimal(12)}
    rolled = settings_within(corner.planned, corner.suspension, replace(steps, rolled_lips=True))
    assert rolled[: len(settings)] == settings
    assert [one.rolled_lips for one in rolled[len(settings) :]] == [True] * len(settings)


def test_a_camber_is_never_changed_without_a_method() -> None:
    corner = strut_corner()
    loose = replace(corner.planned, camber_deg=None, camber_by=None)
    steps = Steps(camber_deg=(-2.0,), ride_height_mm=(-5.0,))
    for change in settings_within(loose, corner.suspension, steps):
        assert (change.camber_deg is None) == (change.camber_by is None)
    curves = replace(corner.suspension, kind=CURVES, camber_pivots={"b": (0, 0, 0)})
    assert curves.camber_methods == ("b",)


def test_reasons_name_the_place_that_is_in_the_option() -> None:
    found = options(a_question(1))
    touched = {one.why.params["spot"] for one in found.ruled_out if one.why.code == TOUCHES}
    assert touched
    assert touched <= {"arch lip", "inner panel", "frame rail", "liner", "caliper"}
