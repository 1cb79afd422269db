"""Limits that a search for ways takes from the job: class, target, papers, traced tyres."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from alignment.models import OrderTarget, Quantity
from alignment.targets.services import Figure as Target
from alignment.targets.services import target_save
from alignment.text.render import render
from common.message import message, message_dump
from fitment.clearance.services import check_run
from fitment.engine import checkfile
from fitment.engine.mounting.law import Figure
from fitment.engine.search.limits import Rule
from fitment.engine.search.model import Question
from fitment.engine.search.prices import pair_price
from fitment.job.car import car_of_order
from fitment.models import CornerSurvey, OrderWheels, PresentCorner, TyreModel, UseProfile
from fitment.mounting.law import law_save
from fitment.text.options import cautions_text
from fitment.tryout.limits import class_limits, height_over_survey, limits_of
from fitment.tryout.services.trial import question_of, set_up_of
from fitment.tryout.space import question_for
from shop.models import CarModel, ClassRecord, ClassRule, Part, User, WorkOrder
from tests.alignment.factories import make_visit
from tests.engine.random_corners import square_section
from tests.factories import make_line, make_part
from tests.fitment.factories import make_rubbing_order, make_tyre, make_wheel

pytestmark = pytest.mark.django_db


@pytest.fixture
def order() -> WorkOrder:
    return make_rubbing_order()


def asked_of(order: WorkOrder, *may: str, **asked: Any) -> Question:
    """What the engine would be asked about the order's front axle."""
    car = car_of_order(order)
    set_up = set_up_of(car, "front")
    assert set_up is not None
    duty = UseProfile.objects.get(name=order.use)
    check = checkfile.parse(question_of(car, set_up, duty))
    return question_for(check.corners, check.duty, car, set_up, {"may": may, **asked})


def ruled(order: WorkOrder, **rule: Any) -> WorkOrder:
    record = ClassRecord.objects.create(name="Cup", season="1", source="Book", dated="2026-01-01")
    ClassRule.objects.create(record=record, wording="As written.", **rule)
    WorkOrder.objects.filter(pk=order.pk).update(class_record=record)
    order.refresh_from_db()
    return order


def heights(left: str, right: str) -> dict[tuple[str, str], str]:
    return {("LF", Quantity.RIDE_HEIGHT): left, ("RF", Quantity.RIDE_HEIGHT): right}


def stands(order: WorkOrder, by: User, height_mm: float) -> None:
    for corner in ("LF", "RF"):
        PresentCorner.objects.create(
            order=order,
            corner=corner,
            wheel=make_wheel(),
            tyre=make_tyre(),
            toe_deg=0.0,
            ride_height_mm=height_mm,
            by=by,
        )


# Height hub to lip


def test_height_before_the_work_counts_from_how_the_car_stands(
    order: WorkOrder, writer: User
) -> None:
    """Read 352 and 350 where the car stands 5 mm below the survey: 355 at the survey's height."""
    ruled(order, kind="height_least", limit=345.0)
    make_visit(order, heights("352", "350"), stage="before")
    stands(order, writer, -5.0)
    car = car_of_order(order)
    assert height_over_survey(car, "front") == pytest.approx(355.0)
    (rule,), unknown = class_limits(car, "front")
    assert unknown == []
    kept = asked_of(order, "height").space.settings
    plan = next(iter(asked_of(order).corners.values())).planned
    heights_kept = [
        change.made_to(plan).adjusters.ride_height_mm
        for change in kept
        if rule.setting is not None and rule.setting(change.made_to(plan))
    ]
    assert plan.adjusters.ride_height_mm == -15.0
    assert heights_kept == [-10.0, -5.0, 0.0]


def test_height_after_the_work_counts_from_the_plan(order: WorkOrder) -> None:
    make_visit(order, heights("341", "340"), stage="after")
    assert height_over_survey(car_of_order(order), "front") == pytest.approx(355.0)


def test_height_that_is_not_known_is_said_and_rules_nothing_out(order: WorkOrder) -> None:
    ruled(order, kind="height_least", limit=345.0)
    make_visit(order, heights("352", "350"), stage="before")
    rules, unknown = class_limits(car_of_order(order), "front")
    assert rules == []
    assert unknown == [message("limit.class-height", rule="As written")]
    assert asked_of(order, "height").within.unknown == tuple(unknown)


# Rules that nothing keeps


def test_a_rule_that_the_plan_breaks_for_good_is_said_and_hides_nothing(order: WorkOrder) -> None:
    """Camber of −2.4° is planned; where it may not change, a limit of −2° says nothing."""
    ruled(order, kind="camber_most", limit=-2.0)
    stuck = asked_of(order, "camber_method", "spacer")
    assert stuck.within.broken == ("As written",)
    assert all(rule.name != "As written" for rule in stuck.within.rules)
    free = asked_of(order, "camber", camber_from=-3.0, camber_to=-1.5)
    assert free.within.broken == ()
    assert "As written" in [rule.name for rule in free.within.rules]


@pytest.mark.parametrize(
    ("rule", "good", "bad"),
    [
        ({"kind": "lowered_most", "limit": 20.0}, {"height": -15.0}, {"height": -25.0}),
        ({"kind": "adjuster_barred", "item": "bump_stop_mm"}, {}, {"packer": 5.0}),
        ({"kind": "adjuster_barred", "item": "top_mount_in_mm"}, {}, {"by": "top_mount"}),
    ],
)
def test_rules_on_settings(
    order: WorkOrder, rule: dict[str, Any], good: dict[str, Any], bad: dict[str, Any]
) -> None:
    (kept,), _ = class_limits(car_of_order(ruled(order, **rule)), "front")
    plan = next(iter(asked_of(order).corners.values())).planned

    def keeps(change: dict[str, Any]) -> bool:
        adjusters = replace(
            plan.adjusters,
            ride_height_mm=change.get("height", -15.0),
            bump_stop_mm=change.get("packer", 0.0),
        )
        by = change.get("by", plan.camber_by)
        assert kept.setting is not None
        return kept.setting(replace(plan, adjusters=adjusters, camber_by=by))

    assert keeps(good)
    assert not keeps(bad)


def test_a_barred_kind_of_part_bars_the_method_that_takes_it(order: WorkOrder) -> None:
    part_for("top_mount_in_mm", 20.0, price="150.00")
    ruled(order, kind="part_barred", item="top mount")
    (rule,), _ = class_limits(car_of_order(order), "front")
    question = asked_of(order, "camber_method")
    plan = next(iter(question.corners.values())).planned
    assert rule.setting is not None
    kept = {
        change.made_to(plan).camber_by: rule.setting(change.made_to(plan))
        for change in question.space.settings
    }
    assert kept == {"lower_arm": True, "top_mount": False, "knuckle": True}
    survey = CornerSurvey.objects.get(car_model=order.vehicle.car_model, corner="LF")
    survey.document["suspension"]["reach"] = {"top_mount_in_mm": [0, 6]}  # the maker's own slots
    survey.save()
    (rule,), _ = class_limits(car_of_order(order), "front")
    assert rule.setting is not None
    assert rule.setting(replace(plan, camber_by="top_mount"))


# Papers and law


def rule_named(question: Question, name: str) -> Rule:
    return next(rule for rule in question.within.rules if render(rule.name).startswith(name))


def test_what_the_mounting_checks_would_fail_is_not_offered(order: WorkOrder) -> None:
    CarModel.objects.filter(pk=order.vehicle.car_model_id).update(
        load_index_front=95, speed_symbol="W", oe_tyre_front="265/35R18"
    )
    order = WorkOrder.objects.get(pk=order.pk)
    weak = make_tyre(name="Weak", load_index="91", speed_symbol="W")
    slow = make_tyre(name="Slow", load_index="97", speed_symbol="H")
    small = make_tyre(name="Small", size="215/35R18", overall_diameter_mm=None, load_index="97")
    question = asked_of(order, "tyre")
    wheel = question.space.wheels[0]
    tyres = {one.key: one for one in question.space.tyres}

    def kept(rule: str, row: TyreModel) -> bool:
        fit = rule_named(question, rule).fit
        assert fit is not None
        return fit(wheel, tyres[f"tyre {row.pk}"], 0.0)

    assert not kept("load index", weak)
    assert kept("load index", slow)
    assert not kept("speed symbol", slow)
    assert kept("speed symbol", weak)
    assert not kept("overall diameter", small)
    assert kept("overall diameter", slow)


# Target camber


def test_the_range_of_camber_is_that_of_the_sheet_that_was_planned_from(
    order: WorkOrder, writer: User
) -> None:
    car = car_of_order(order)
    set_up = set_up_of(car, "front")
    assert set_up is not None
    assert limits_of(car, set_up)["camber_from"] == -3.4
    sheet = target_save(
        car_model=order.vehicle.car_model,
        use=order.use,
        kind="shop",
        source="Own figures",
        dated=dt.date(2026, 3, 1),
        figures=[Target("front", "camber", -2.4, -2.6, 0.4, 0.4, 0.2)],
        by=writer,
    )
    OrderTarget.objects.create(order=order, sheet=sheet, taken_by=writer)
    limits = limits_of(car_of_order(order), set_up)
    assert (limits["camber_from"], limits["camber_to"]) == (-2.8, -2.2)


# Traced tyres


def test_a_traced_tyre_of_the_catalogue_keeps_its_trace_on_the_rim_of_the_trace(
    order: WorkOrder,
) -> None:
    row = OrderWheels.objects.get(order=order)
    rim = row.wheel.width_in
    other = make_wheel(name="Narrow wheel", width_in=rim - 1.0)
    tyre = make_tyre(name="Traced")
    question = asked_of(order, "tyre")
    plain = next(one for one in question.space.tyres if one.key == f"tyre {tyre.pk}")
    trace = square_section(question.space.wheels[0].wheel, plain.tyre)
    tyre.pooled = {"profile": [list(point) for point in trace], "profile_rim_in": rim}
    tyre.save()
    space = asked_of(order, "tyre", "wheel").space
    choice = next(one for one in space.tyres if one.key == f"tyre {tyre.pk}")
    wheels = {one.key: one.wheel for one in space.wheels}
    assert choice.tyre.profile == ()
    assert choice.on(wheels[f"wheel {row.wheel_id}"]).profile == trace
    assert choice.on(wheels[f"wheel {other.pk}"]).profile == ()


# Parts that other means take


def part_for(adjuster: str, high: float, **values: Any) -> Part:
    values = {
        "number": f"P{high:g}",
        "name": "Plate",
        "kind": "top mount",
        "axle": "front",
    } | values
    return Part.objects.create(adjuster=adjuster, reach_min=0, reach_max=high, **values)


def way_by(order: WorkOrder, camber_method: str) -> dict[str, Any]:
    make_tyre(name="Narrow", section_width_mm=238, price="180.00")
    rows = check_run(order=order, by=None).options["LF"]["found"]
    return next(row for row in rows if row["put"]["by"] == camber_method)


def cautions_coded(way: dict[str, Any], code: str) -> list[dict[str, Any]]:
    """Cautions of a way that carry one code."""
    return [told for told in way["cautions"] if told["code"] == code]


def test_an_option_names_the_part_that_its_method_takes_and_counts_its_price(
    order: WorkOrder,
) -> None:
    part_for("top_mount_in_mm", 1.0, price="90.00")
    part_for("top_mount_in_mm", 20.0, price="150.00")
    prices = {
        change.camber_by: change.price for change in asked_of(order, "camber_method").space.settings
    }
    assert prices[None] == 0
    assert prices["top_mount"] == Decimal("180.00")
    assert prices["knuckle"] is None
    way = way_by(order, "top_mount")
    takes = message("option.takes-part", name="Plate", number="P20")
    assert message_dump(takes) in way["cautions"]


def test_an_option_beyond_the_parts_of_the_catalogue_says_so(order: WorkOrder) -> None:
    part_for("top_mount_in_mm", 1.0, price="90.00")
    (said,) = cautions_coded(way_by(order, "top_mount"), "option.no-part-reaches-mm")
    assert said["params"]["needed_mm"] > 1.0


def test_a_method_whose_part_is_on_the_order_costs_nothing_more(order: WorkOrder) -> None:
    part = part_for("top_mount_in_mm", 20.0, price="150.00")
    make_line(order, kind="part", part=part, axle="front")
    prices = {
        change.camber_by: change.price for change in asked_of(order, "camber_method").space.settings
    }
    assert prices["top_mount"] == 0
    assert not cautions_coded(way_by(order, "top_mount"), "option.takes-part")


def test_an_option_that_a_mounting_check_would_stop_for_its_clearance_says_so(
    order: WorkOrder,
) -> None:
    law_save(figures={"gap_body_mm": Figure(25.0, "Own rule")})
    part_for("top_mount_in_mm", 20.0, price="150.00")
    way = way_by(order, "top_mount")
    (said,) = cautions_text(cautions_coded(way, "option.fails-mounting"))
    assert said.startswith("Fails a mounting check: Gap to the body. Arch lip: +")


# Prices


def test_a_spacer_that_was_not_priced_yet_is_not_free(order: WorkOrder) -> None:
    make_part(name="Spacer, not priced yet", kind="spacer", price=Decimal(0))
    assert {one.price for one in asked_of(order, "spacer").space.spacers[1:] if one.mm} == {None}
    make_part(name="Spacer", kind="spacer", price=Decimal(20))
    assert {one.price for one in asked_of(order, "spacer").space.spacers[1:] if one.mm} == {20}


def test_a_pair_has_a_price_where_all_that_it_takes_has_one() -> None:
    assert pair_price(Decimal(0)) == 0
    assert pair_price(Decimal(3), Decimal(4)) == 14
    assert pair_price(Decimal(3), None) is None
