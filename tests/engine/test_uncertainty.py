"""How far a clearance can be trusted, against draws of every uncertain input."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from alignment.geometry.model import (
    CURVES,
    Adjusters,
    CurveRow,
    Limits,
    Planned,
    Suspension,
)
from common.verdicts import Verdict
from fitment.engine import defaults
from fitment.engine.check import run
from fitment.engine.defaults import STREET
from fitment.engine.model import (
    EDGE,
    FROM_CAR_TO_CAR,
    KNUCKLE,
    LINK,
    MEASURED,
    NOMINAL,
    POINTS,
    PRINTED,
    STRUT_BODY,
    TEMPLATE,
    Check,
    Corner,
    CornerAnswer,
    Feature,
    Learned,
    SpotAnswer,
    Survey,
    SurveyPoint,
    Tyre,
    Wheel,
)
from fitment.engine.solid.section import section_of
from fitment.engine.uncertainty.compliance import COMPLIANCES, WORN
from fitment.engine.uncertainty.survey_inputs import AXIAL, CLOCK, JOINTS, RADIUS
from fitment.engine.uncertainty.touching import below_zero
from tests.engine.files import LINKS, STRUT, check_of, wishbones_name
from tests.engine.monte_carlo import drawn
from tests.engine.random_corners import random_check, the_corner, with_corner


def answer_of(check: Check) -> CornerAnswer:
    (answer,) = run(check).corners.values()
    return answer


def parts(place: SpotAnswer) -> dict[str, float]:
    return {part.source: part.mm for part in place.uncertainty}


def near_contact(seed: int, low: float = -3.0, high: float = 14.0) -> Check | None:
    """A random check of the places that may or may not touch; None without any.

    Without rods: where they lie hangs on their joints, which are drawn, and on nothing else.
    """
    check = random_check(seed)
    corner = the_corner(check)
    pairs = zip(corner.survey.features, answer_of(check).places, strict=True)
    kept = tuple(
        feature
        for feature, place in pairs
        if low < place.clearance_mm < high and place.carried_by != LINK
    )
    if not kept:
        return None
    return with_corner(check, replace(corner, survey=replace(corner.survey, features=kept)))


def off_template(check: Check) -> Check:
    """The same with every place read off a template, and wheel and tyre without corners."""
    corner = the_corner(check)
    features = tuple(replace(f, read=TEMPLATE) for f in corner.survey.features)
    return with_corner(check, replace(corner, survey=replace(corner.survey, features=features)))


def assert_drawn_as_stated(check: Check, draws: int, seed: int, allowed: float) -> None:
    """Chances within ``allowed`` and what so many draws leave open."""
    answer = answer_of(check)
    found = drawn(the_corner(check), check.duty, draws, seed)
    known = np.array([place.verdict != Verdict.UNMEASURED for place in answer.places])
    for place, share in zip(answer.places, found.chance, strict=True):
        chance = place.touch_chance
        noise = math.sqrt(max(chance * (1 - chance), 1e-3) / draws)
        assert share == pytest.approx(chance, abs=allowed + 2.5 * noise), place.place
    if known.any():
        share = float(np.mean(np.any(found.clearance_mm[:, known] <= 0, axis=1)))
        chance = answer.any_touch_chance
        noise = math.sqrt(max(chance * (1 - chance), 1e-3) / draws)
        assert share == pytest.approx(chance, abs=allowed + 2.5 * noise)


# --- Against draws ------------------------------------------------------------------------


@pytest.mark.parametrize("seed", [0, 2, 7])
def test_the_chance_of_touching_is_that_of_draws_at_full_uncertainty(seed: int) -> None:
    check = near_contact(seed)
    assert check is not None
    assert_drawn_as_stated(check, draws=100, seed=seed, allowed=0.02)


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(6000, 6024))
def test_two_dozen_more_corners_touch_as_often_as_is_said(seed: int) -> None:
    check = near_contact(seed)
    if check is None:
        pytest.skip("nothing of this corner is near contact")
    assert_drawn_as_stated(check, draws=1000, seed=seed, allowed=0.02)


@pytest.mark.parametrize("seed", [4, 7])
def test_the_first_order_sigma_is_the_spread_of_draws_within_fifteen_per_cent(seed: int) -> None:
    """Of what is read off a template, so that the least of several readings plays no part."""
    check = near_contact(seed, low=2.0, high=40.0)
    assert check is not None
    check = off_template(check)
    found = drawn(the_corner(check), check.duty, draws=150, seed=seed)
    for place, sigma in zip(answer_of(check).places, found.sigma_mm, strict=True):
        assert place.sigma_mm == pytest.approx(sigma, rel=0.15), place.place


def test_an_assumed_give_spreads_loaded_places_as_draws_of_it_do() -> None:
    check = near_contact(7, low=2.0, high=40.0)
    assert check is not None
    check = off_template(check)
    corner = replace(the_corner(check), compliance=COMPLIANCES[WORN].mean)
    hard = with_corner(replace(check, duty=replace(check.duty, lateral_g=1.3)), corner)
    places = answer_of(hard).places
    assert any(place.at.loaded for place in places)
    found = drawn(corner, hard.duty, draws=150, seed=7)
    for place, sigma in zip(places, found.sigma_mm, strict=True):
        assert place.sigma_mm == pytest.approx(sigma, rel=0.15), place.place


def beside_a_rail(gap_mm: float, arc: bool) -> Check:
    """A rear wheel on curves, a rail inboard of it that stands clear of the level wheel by so much.

    ``arc``: where the hub goes sideways was not read.
    """
    unread = frozenset({"out_mm"}) if arc else frozenset[str]()
    table = tuple(
        CurveRow(z, 0.0, 0.0, 0.0, 0.0, unread=unread) for z in (-130.0, -65.0, 0.0, 65.0, 130.0)
    )
    wheel, tyre = Wheel(17, 7.5, 45), Tyre("225/45R17", section_width_mm=225.0, shoulder="medium")
    y = -45.0 - 112.5 - gap_mm
    rail = Feature("rail", shape=EDGE, xyz_mm=((-200.0, y, 270.0), (200.0, y, 270.0)), sigma_mm=1.0)
    corner = Corner(
        Survey(0.0, 0.0, (rail,)),
        Suspension(CURVES, table=table),
        Limits(60.0, 60.0),
        Planned(0.0, sigma_toe_deg=0.01, sigma_ride_height_mm=1.0),
        wheel,
        tyre,
    )
    return Check("", STREET, {"LR": corner})


def test_a_hub_whose_path_was_not_read_goes_inboard_in_bump_and_droop() -> None:
    """By the arc of a level arm of 350 mm: 5.1 mm in 60."""
    read, unread = (answer_of(beside_a_rail(20.0, arc)).places[0] for arc in (False, True))
    assert read.clearance_mm - unread.clearance_mm == pytest.approx(60.0**2 / 700.0, abs=0.05)
    share = parts(unread)["hub sideways over travel"]
    assert share == pytest.approx(60.0**2 / 1400.0, abs=0.05)
    assert "hub sideways over travel" not in parts(read)


@pytest.mark.parametrize("gap_mm", [9.0, 13.0])
def test_bump_and_droop_that_come_near_alike_touch_as_often_as_draws_do(gap_mm: float) -> None:
    check = beside_a_rail(gap_mm, arc=True)
    assert_drawn_as_stated(check, draws=300, seed=5, allowed=0.02)
    place = answer_of(check).places[0]
    alone = below_zero(place.clearance_mm, place.sigma_mm)
    assert place.touch_chance > alone, "the least of two ends is nearer than either"


# --- Sources ------------------------------------------------------------------------------


def test_the_difference_between_cars_is_a_source_like_any_other() -> None:
    check = check_of(STRUT)
    for place in filter(lambda one: one.is_measured, answer_of(check).places):
        shares = parts(place)
        carried = place.carried_by in (KNUCKLE, STRUT_BODY)
        assert shares[FROM_CAR_TO_CAR] == pytest.approx(1.0 if carried else 3.0)
        assert place.sigma_mm == pytest.approx(math.hypot(*shares.values()), rel=1e-4)
        three = place.sigma_parts
        assert math.hypot(three.survey_mm, three.between_cars_mm, three.job_mm) == pytest.approx(
            place.sigma_mm
        )
        assert three.between_cars_mm == shares[FROM_CAR_TO_CAR]


def test_shares_come_with_the_largest_first() -> None:
    for name in (STRUT, LINKS):
        for place in answer_of(check_of(name)).places:
            sizes = [part.mm for part in place.uncertainty]
            assert sizes == sorted(sizes, reverse=True)


def stated(corner: Corner, sigma: float) -> Corner:
    """Every uncertainty that can be stated, stated."""
    features = tuple(replace(feature, sigma_mm=sigma) for feature in corner.survey.features)
    return replace(
        corner,
        survey=replace(corner.survey, features=features),
        suspension=replace(corner.suspension, sigma_joints_mm=sigma),
        wheel=replace(corner.wheel, sigma_offset_mm=sigma, sigma_flange_mm=sigma),
        tyre=replace(
            corner.tyre,
            sigma_width_mm=sigma,
            sigma_diameter_mm=sigma,
            sigma_tread_mm=sigma,
            sigma_shoulder_mm=sigma,
        ),
        planned=replace(
            corner.planned,
            sigma_camber_deg=0.1 * sigma,
            sigma_toe_deg=0.1 * sigma,
            sigma_ride_height_mm=sigma,
        ),
    )


def blank(corner: Corner) -> Corner:
    """Nothing stated, and a tyre known by its size alone."""
    features = tuple(replace(f, sigma_mm=None) for f in corner.survey.features)
    return replace(
        corner,
        survey=replace(corner.survey, features=features),
        wheel=replace(corner.wheel, sigma_offset_mm=None),
        tyre=replace(
            corner.tyre,
            section_width_mm=None,
            measuring_rim_in=None,
            overall_diameter_mm=None,
            sigma_width_mm=None,
            sigma_diameter_mm=None,
            shoulder_drop_mm=None,
            tread_width_mm=None,
            profile=(),
        ),
    )


def test_what_was_not_stated_is_listed_as_assumed_and_what_was_stated_is_not() -> None:
    check = random_check(0, kind="strut")
    corner = the_corner(check)
    plan = Planned(0.0, corner.survey.camber_deg - 1.0, "top_mount", Adjusters())
    limits = replace(corner.limits, steer_in_deg=25.0, steer_out_deg=25.0)
    corner = replace(corner, planned=plan, limits=limits)
    full = answer_of(with_corner(check, stated(corner, 1.0))).assumed
    assert {one.what for one in full} == {"bump limit", "steering lock", "survey clock angle"}
    assumed = {one.what: one for one in answer_of(with_corner(check, blank(corner))).assumed}
    assert set(assumed) == {one.what for one in defaults.SIGMAS}
    assert all(one.value > 0 and one.unit and one.reason for one in assumed.values())


def said(corner: Corner, check: Check, what: str) -> float:
    """The uncertainty that is assumed of something."""
    assumed = answer_of(with_corner(check, corner)).assumed
    return next(one.value for one in assumed if one.what == what)


def test_a_dimension_is_as_uncertain_as_the_way_it_is_known() -> None:
    check = random_check(0, kind="strut")
    corner = blank(the_corner(check))
    tyre = corner.tyre
    size = 640.0
    for known, value, sigma in (
        ("", None, 4.0),
        (NOMINAL, size, 4.0),
        ("", size, 2.0),
        (PRINTED, size, 2.0),
        (MEASURED, size, 1.0),
    ):
        one = replace(tyre, overall_diameter_mm=value, diameter_known=known)
        assert said(replace(corner, tyre=one), check, "overall diameter") == sigma
    for known, value, rim, sigma in (
        ("", None, None, 3.0),
        ("", 225.0, 7.5, 3.0),
        ("", 225.0, None, 1.0),
        (PRINTED, 225.0, None, 3.0),
        (MEASURED, 225.0, 7.5, 1.0),
    ):
        one = replace(tyre, section_width_mm=value, measuring_rim_in=rim, width_known=known)
        assert said(replace(corner, tyre=one), check, "section width") == sigma
    for shoulder, tread, drop in (("", 0.03, 2.5), ("square", 0.015, 1.5), ("round", 0.015, 1.5)):
        one = replace(tyre, shoulder=shoulder)
        assert said(replace(corner, tyre=one), check, "tread width") == tread
        assert said(replace(corner, tyre=one), check, "shoulder drop") == drop


def test_a_traced_tyre_has_no_uncertain_shoulder() -> None:
    check = check_of(STRUT)
    assert the_corner(check).tyre.profile
    for place in answer_of(check).places:
        assert not {"tread width", "shoulder drop"} & set(parts(place))


def test_points_read_one_by_one_are_better_known_between_them_than_off_a_template() -> None:
    """Half way between two readings their independent errors average out."""
    check = random_check(2)
    corner = the_corner(check)
    lip = next(f for f in corner.survey.features if f.place == "arch lip")
    both = []
    for how in ("singly", TEMPLATE):
        survey = replace(corner.survey, features=(replace(lip, sigma_mm=2.0, read=how),))
        both.append(parts(answer_of(with_corner(check, replace(corner, survey=survey))).places[0]))
    singly, template = both
    share = math.hypot(singly[RADIUS], singly[AXIAL]) / math.hypot(
        template[RADIUS], template[AXIAL]
    )
    assert math.sqrt(0.5) - 1e-3 <= share <= 1.0 + 1e-3
    assert template[RADIUS] ** 2 + template[AXIAL] ** 2 == pytest.approx(4.0, rel=0.03)


@pytest.mark.parametrize("slope", [0.0, 0.4, 1.0])
def test_the_clock_angle_matters_where_the_body_is_not_round_about_the_hub(slope: float) -> None:
    """A lip over the crown that falls towards the rear, against one read half a degree further."""
    check = beside_a_rail(60.0, arc=False)
    corner = the_corner(check)

    def lip(turned: float) -> SpotAnswer:
        points = tuple(
            SurveyPoint(c + turned, 400.0 + slope * c, -45.0) for c in (-40.0, -15.0, 40.0)
        )
        feature = Feature("slanting lip", shape=EDGE, points=points, read=TEMPLATE)
        survey = replace(corner.survey, features=(feature,))
        return answer_of(with_corner(check, replace(corner, survey=survey))).places[0]

    moved = (lip(0.5).clearance_mm - lip(-0.5).clearance_mm) / 1.0
    assert parts(lip(0.0)).get(CLOCK, 0.0) == pytest.approx(abs(moved), abs=0.03)
    assert (abs(moved) > 0.2) == (slope > 0)


@pytest.mark.parametrize("name", [STRUT, wishbones_name(), LINKS])
def test_joints_are_in_the_uncertainty_of_what_the_body_carries_and_of_nothing_else(
    name: str,
) -> None:
    for place in answer_of(check_of(name)).places:
        share = parts(place).get(JOINTS, 0.0)
        assert (share > 0.05) == (place.carried_by not in (KNUCKLE, STRUT_BODY)), place.place


def test_joints_known_three_times_worse_have_three_times_the_share() -> None:
    check = check_of(LINKS)
    corner = the_corner(check)
    worse = replace(corner, suspension=replace(corner.suspension, sigma_joints_mm=6.0))
    for one, other in zip(
        answer_of(check).places, answer_of(with_corner(check, worse)).places, strict=True
    ):
        assert parts(other).get(JOINTS, 0.0) == pytest.approx(3 * parts(one).get(JOINTS, 0.0))


def test_what_earlier_jobs_taught_replaces_survey_and_cars() -> None:
    check = check_of(STRUT)
    corner = the_corner(check)
    learned = Learned(shift_mm=-1.3, sigma_mm=1.8, between_cars_mm=2.8, cars=4, observations=11)
    features = (replace(corner.survey.features[0], learned=learned), *corner.survey.features[1:])
    taught = replace(corner, survey=replace(corner.survey, features=features))
    before, after = answer_of(check).places, answer_of(with_corner(check, taught)).places
    assert after[0].clearance_mm == pytest.approx(before[0].clearance_mm - 1.3)
    assert after[0].shift_mm == -1.3
    assert after[0].sigma_parts.survey_mm == pytest.approx(1.8)
    assert after[0].sigma_parts.between_cars_mm == pytest.approx(2.8)
    assert after[0].sigma_parts.job_mm == pytest.approx(before[0].sigma_parts.job_mm)
    others = [[p.sigma_mm for p in one[1:]] for one in (after, before)]
    assert others[0] == pytest.approx(others[1], nan_ok=True)


#: Where the back of the spokes lies, so that the caliper is nearest to what is asked about.
SPOKES = {"wheel width": 20.0, "barrel": 20.0, "back of the spokes": -20.0}


@pytest.mark.parametrize("what", SPOKES)
def test_what_a_measured_wheel_leaves_open_enters_the_uncertainty_of_the_places_it_moves(
    what: str,
) -> None:
    """Against the clearance of a wheel that is a tenth of a millimetre off in that measure."""
    check = random_check(6)
    corner = stated(the_corner(check), 1.0)
    wheel = replace(
        corner.wheel, barrel_mm=14.0, spoke_back=((SPOKES[what], 40.0), (SPOKES[what], 150.0))
    )
    corner = replace(corner, wheel=wheel, tyre=replace(corner.tyre, profile=()))
    field = {"wheel width": "width", "barrel": "barrel", "back of the spokes": "spoke"}[what]
    unsure = replace(wheel, **{f"sigma_{field}_mm": 2.0})
    places = answer_of(with_corner(check, replace(corner, wheel=unsure))).places
    step = 0.05
    other = {
        "wheel width": replace(wheel, width_mm=wheel.rim_mm + step),
        "barrel": replace(wheel, barrel_mm=14.0 + step),
        "back of the spokes": replace(
            wheel, spoke_back=tuple((a + step, r) for a, r in wheel.spoke_back)
        ),
    }[what]
    base = answer_of(with_corner(check, replace(corner, wheel=wheel))).places
    moved = answer_of(with_corner(check, replace(corner, wheel=other))).places
    touched = 0
    for place, at, now in zip(places, base, moved, strict=True):
        expected = abs(now.clearance_mm - at.clearance_mm) / step * 2.0
        assert parts(place).get(what, 0.0) == pytest.approx(expected, abs=0.05)
        touched += expected > 0.5
    assert touched
    assert all(what not in parts(place) for place in base)


def test_what_the_strut_carries_follows_the_knuckle_camber_that_is_solved_again() -> None:
    """0.1 degrees of camber by the knuckle turns the strut 0.1 degrees towards the tyre."""
    check = random_check(0, kind="strut")
    corner = the_corner(check)
    plan = Planned(0.0, corner.survey.camber_deg - 1.0, "knuckle", sigma_camber_deg=0.1)
    turned = answer_of(with_corner(check, replace(corner, planned=plan)))
    by_mount = answer_of(
        with_corner(check, replace(corner, planned=replace(plan, camber_by="top_mount")))
    )
    strut = next(i for i, p in enumerate(turned.places) if p.carried_by == STRUT_BODY)
    assert 0.2 < parts(turned.places[strut]).get("planned camber", 0.0) < 1.0
    assert parts(turned.places[strut]).get(JOINTS, 0.0) > 0.01
    assert parts(by_mount.places[strut]).get("planned camber", 0.0) == 0.0
    assert parts(by_mount.places[strut]).get(JOINTS, 0.0) == 0.0


def test_what_the_knuckle_carries_owes_nothing_to_travel_or_settings() -> None:
    for seed in (0, 1, 2, 3):
        for place in answer_of(random_check(seed)).places:
            if place.carried_by == KNUCKLE:
                assert not set(parts(place)) & {
                    "planned camber",
                    "planned toe",
                    "ride height",
                    "bump limit",
                    "steering lock",
                    JOINTS,
                    CLOCK,
                }


def test_a_part_grows_with_its_sigma_and_no_other_does() -> None:
    check = random_check(2)
    corner = stated(the_corner(check), 1.0)
    wider = replace(corner, tyre=replace(corner.tyre, sigma_diameter_mm=3.0))
    once, thrice = (answer_of(with_corner(check, one)).places for one in (corner, wider))
    moved = 0
    for before, after in zip(once, thrice, strict=True):
        for source, mm in parts(before).items():
            factor = 3.0 if source == "overall diameter" else 1.0
            assert parts(after)[source] == pytest.approx(factor * mm)
            moved += factor == 3.0
    assert moved >= 2


def test_two_corners_on_one_make_of_tyre_touch_together_more_often_than_by_chance() -> None:
    """A tyre known by its size alone is the same unknown on both; one measured on each is not."""
    check = beside_a_rail(6.0, arc=False)
    corner = the_corner(check)
    chances = {}
    for known in (NOMINAL, MEASURED):
        tyre = replace(corner.tyre, width_known=known, sigma_width_mm=4.0, sigma_shoulder_mm=0.0)
        own = replace(corner, tyre=tyre)
        answer = run(replace(check, corners={"LR": own, "RR": own}))
        alone = answer.corners["LR"].any_touch_chance
        assert alone == answer.corners["RR"].any_touch_chance
        assert 0.02 < alone < answer.any_touch_chance < 1.0 - (1.0 - alone) ** 2
        chances[known] = answer.any_touch_chance
    assert chances[NOMINAL] < chances[MEASURED] - 0.003


def in_the_barrels_corner(to_barrel_mm: float, to_spokes_mm: float) -> Check:
    """A caliper's outer corner, so far from the barrel and from flat spokes."""
    check = beside_a_rail(60.0, arc=False)
    corner = the_corner(check)
    wheel = replace(corner.wheel, barrel_mm=14.0, spoke_back=((20.0, 50.0), (20.0, 190.0)))
    barrel = section_of(wheel, corner.tyre).barrel_radius_mm
    at = SurveyPoint(90.0, barrel - to_barrel_mm, 20.0 - to_spokes_mm)
    caliper = Feature("brake caliper", KNUCKLE, POINTS, (at,), sigma_mm=2.0)
    survey = replace(corner.survey, features=(caliper,))
    return with_corner(check, replace(corner, wheel=wheel, survey=survey))


@pytest.mark.parametrize(("to_barrel", "to_spokes"), [(4.0, 4.3), (3.0, 6.0), (5.0, 3.5)])
def test_a_caliper_between_barrel_and_spokes_touches_as_often_as_either_does(
    to_barrel: float, to_spokes: float
) -> None:
    """Radius and axial err by 2 mm each, the wheel's offset by 0.5, and cars by 1 in whatever is
    near: by numerical integration over what both faces share."""
    check = in_the_barrels_corner(to_barrel, to_spokes)
    (place,) = answer_of(check).places
    assert place.clearance_mm == pytest.approx(min(to_barrel, to_spokes), abs=0.05)
    shared = np.linspace(-6.0, 6.0, 601)
    weight = np.exp(-(shared**2) / 2.0)
    free = (
        [1.0 - below_zero(to_barrel + s, 2.0) for s in shared],
        [1.0 - below_zero(to_spokes + s, math.hypot(2.0, 0.5)) for s in shared],
    )
    expected = 1.0 - float(np.average(np.prod(free, axis=0), weights=weight))
    assert place.touch_chance == pytest.approx(expected, abs=0.006)
    alone = below_zero(place.clearance_mm, place.sigma_mm)
    assert expected > alone + 0.003, "one face says too little"


def test_a_caliper_far_from_the_spokes_meets_the_barrel_alone() -> None:
    (place,) = answer_of(in_the_barrels_corner(4.0, 30.0)).places
    assert place.touch_chance == pytest.approx(below_zero(place.clearance_mm, place.sigma_mm))


def test_nothing_that_turns_with_the_hub_owes_its_other_faces_to_the_setting() -> None:
    (place,) = answer_of(in_the_barrels_corner(4.0, 4.3)).places
    assert set(parts(place)) <= {RADIUS, AXIAL, FROM_CAR_TO_CAR, "wheel offset"}
