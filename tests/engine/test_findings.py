"""What an answer tells: the messages that decide, with their figures; sentences are elsewhere."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from alignment.geometry.model import ADJUSTERS
from common.message import Message, message
from fitment.engine.findings import (
    check_messages,
    corner_finding,
    corner_messages,
    finding,
    owner_messages,
    pose,
    reach,
)
from fitment.engine.model import (
    Answer,
    CornerAnswer,
    OutOfReach,
    PoseAt,
    SpotAnswer,
    StaticAnswer,
    UncertaintyPart,
)

LIP = SpotAnswer(
    place="arch lip",
    carried_by="body",
    surface="hard",
    clearance_mm=-4.2,
    needed_mm=5.0,
    sigma_mm=3.5,
    touch_chance=0.885,
    verdict="contact",
    at=PoseAt(38.2, -9.1),
    nearest_mm=(90.0, 356.0),
    touch_mm=(94.0, 357.0),
    part="tyre",
    uncertainty=(UncertaintyPart("section width", 3.2), UncertaintyPart("planned toe", 0.2)),
)
RAIL = replace(LIP, place="frame rail", clearance_mm=12.3, verdict="clear", touch_chance=0.0)
STATIC = StaticAnswer(-2.4, 0.05, 6.9, 10.2, (-0.4, -2.1, 15.0))
NO_EDGE = message("open.outboard", from_deg=10.0, to_deg=45.0)


def corner(*spots: SpotAnswer, verdict: str = "contact", **more: object) -> CornerAnswer:
    return CornerAnswer(
        verdict=verdict,
        static=STATIC,
        adjusters={"ride_height_mm": -15.0, "rods_mm": {"upper front": -1.5}},
        out_of_reach=(),
        places=spots,
        **more,  # type: ignore[arg-type]
    )


def at(travel: float, steer: float, *, load: str = "") -> SpotAnswer:
    return replace(RAIL, at=PoseAt(travel, steer, load))


def codes(told: Iterator[Message]) -> list[str]:
    return [one.code for one in told]


# ---- one spot


def test_a_contact_says_what_where_how_far_and_when() -> None:
    told = finding(LIP, "LF")
    assert told.code == "finding.contact"
    assert told.params["what"] == message("what.tyre.LF")
    assert told.params["spot"] == "arch lip"
    assert (told.params["gap_mm"], told.params["sigma_mm"]) == (4.2, 3.5)
    assert told.params["pose"] == pose(LIP)


def test_the_part_of_the_wheel_that_is_nearest_is_named() -> None:
    assert finding(replace(LIP, part="wheel"), "RR").params["what"] == message("what.wheel.RR")
    assert finding(replace(LIP, part=None)).params["what"] == message("what.tyre")


@pytest.mark.parametrize(
    ("spot", "told"),
    [
        (at(0, 0), message("pose.standing")),
        (at(0.3, -0.2), message("pose.standing")),
        (at(-57, 0), message("pose.droop", travel_mm=57)),
        (at(38.2, 0), message("pose.bump", travel_mm=38.2)),
        (
            at(0, 30.4),
            message("pose.steered-in", height=message("pose.height"), steer_deg=30.4),
        ),
        (
            at(14, -34, load="outside"),
            message(
                "pose.load-outside",
                pose=message(
                    "pose.steered-out",
                    height=message("pose.bump", travel_mm=14),
                    steer_deg=34,
                ),
            ),
        ),
        (replace(RAIL, carried_by="knuckle"), message("pose.constant")),
        (replace(RAIL, carried_by="strut"), message("pose.constant")),
        (replace(at(20.0, 0.0), carried_by="link"), message("pose.bump", travel_mm=20.0)),
    ],
)
def test_a_pose_is_said_by_travel_and_steering(spot: SpotAnswer, told: Message) -> None:
    assert finding(spot).params["pose"] == told


def test_a_tight_spot_tells_the_margin_that_it_misses() -> None:
    told = finding(replace(LIP, clearance_mm=4.97, verdict="tight", touch_chance=0.01))
    assert (told.code, told.params["gap_mm"], told.params["needed_mm"]) == (
        "finding.tight",
        4.97,
        5.0,
    )


def test_uncertainty_names_the_reading_that_would_settle_most_of_it() -> None:
    doubtful = replace(
        LIP,
        clearance_mm=3.1,
        verdict="doubtful",
        touch_chance=0.19,
        sigma_mm=10**0.5,
        uncertainty=(UncertaintyPart("section width", 3.0), UncertaintyPart("ride height", 1.0)),
    )
    told = finding(doubtful)
    assert told.code == "finding.doubtful"
    assert told.params["touch_share"] == 0.19
    assert told.params["reading"] == message("reading.section width")


def test_uncertainty_from_car_to_car_asks_for_a_gap_on_the_car() -> None:
    small = replace(
        LIP,
        clearance_mm=1.0,
        verdict="doubtful",
        sigma_mm=3.0,
        uncertainty=(UncertaintyPart("bump limit", 1),),
    )
    assert finding(small).params["reading"] == message("reading.gap on this car")


def test_an_unmeasured_spot_says_what_is_missing() -> None:
    why = message("inside.not-measured")
    caliper = replace(RAIL, place="brake caliper", verdict="unmeasured", note=why)
    told = finding(caliper)
    assert (told.code, told.params["why"]) == ("finding.unmeasured", why)


# ---- reach


def test_out_of_reach_names_the_adjuster_the_figures_and_the_cure() -> None:
    told = reach(OutOfReach("top_mount_in_mm", 10.98, 0.0, 8.0, 2.98))
    assert told == message(
        "reach.mm",
        adjuster=message("adjuster.top_mount_in_mm"),
        given_by=message("given-by.top_mount_in_mm"),
        needed_mm=10.98,
        least_mm=0.0,
        most_mm=8.0,
        short_mm=2.98,
    )


def test_angles_out_of_reach_are_said_in_degrees() -> None:
    told = reach(OutOfReach("knuckle_camber_deg", -2.0, -1.5, 1.5, -0.5))
    assert told.code == "reach.deg"
    assert told.params["short_deg"] == 0.5


def test_a_rod_out_of_reach_is_named() -> None:
    told = reach(OutOfReach("rod:upper front", 4, -2, 2, 2))
    assert told.params["adjuster"] == message("adjuster.rod", name="upper front")
    assert told.params["given_by"] == message("given-by.rod", name="upper front")


def test_every_adjuster_has_a_name_and_a_part_that_gives_more_of_it() -> None:
    for name in ADJUSTERS:
        told = reach(OutOfReach(name, 1.0, 0.0, 0.5, 0.5))
        assert told.params["adjuster"] == message(f"adjuster.{name}")
        assert told.params["given_by"] == message(f"given-by.{name}")


# ---- corners and checks


def test_a_corner_says_what_decides_it() -> None:
    (told,) = corner_finding(("LF",), corner(RAIL, LIP))
    assert told == finding(LIP, "LF")
    _, also = corner_finding(
        ("LF",), corner(LIP, replace(LIP, place="liner", clearance_mm=-1.0), RAIL)
    )
    assert also == message("finding.also", spots=("liner",))


def test_corners_that_are_alike_are_said_together() -> None:
    (told,) = corner_finding(("LF", "RF"), corner(LIP))
    assert told == message(
        "answer.at-corners", corners=corner_messages(("LF", "RF")), told=finding(LIP)
    )


def test_an_unmeasured_corner_is_never_called_clear() -> None:
    (told,) = corner_finding(("RR",), corner(RAIL, verdict="unmeasured", uncovered=(NO_EDGE,)))
    assert told == message("answer.corner-open", corners=corner_messages(("RR",)), why=(NO_EDGE,))
    touching, open_ = corner_finding(("RR",), corner(LIP, uncovered=(NO_EDGE,)))
    assert touching.code == "finding.contact"
    assert open_ == message("answer.open-besides", why=(NO_EDGE,))
    (nothing,) = corner_finding(("RR",), corner(verdict="unmeasured"))
    assert nothing.params["why"] == (message("answer.nothing-surveyed"),)


def test_a_check_speaks_of_its_worst_corner_and_names_the_others() -> None:
    deeper = replace(LIP, clearance_mm=-6.0)
    corners = {"LF": corner(LIP), "RF": corner(deeper), "LR": corner(RAIL, verdict="clear")}
    first, others = check_messages(Answer("", "contact", corners))
    assert first == finding(deeper, "RF")
    assert others == message("answer.also-contact", corners=corner_messages(("LF",)))


def test_a_clear_check_tells_its_least_clearance() -> None:
    more = replace(RAIL, clearance_mm=20.0)
    corners = {"LF": corner(more, verdict="clear"), "LR": corner(RAIL, verdict="clear")}
    first, others = check_messages(Answer("", "clear", corners))
    assert first == finding(RAIL, "LR")
    assert others == message("answer.more-elsewhere", corners=corner_messages(("LF",)))


def test_a_check_out_of_reach_says_so_even_when_clear() -> None:
    short = OutOfReach("toe_link_mm", 4.0, -3.0, 3.0, 1.0)
    stuck = replace(corner(RAIL, verdict="clear"), out_of_reach=(short,))
    answer = Answer("", "clear", {"LF": stuck})
    *_, told = check_messages(answer)
    assert told == message("reach.at", corners=corner_messages(("LF",)), told=reach(short))
    assert codes(owner_messages(answer)) == ["owner.very-unlikely", "owner.out-of-reach"]


def test_a_check_without_corners_says_that_nothing_was_checked() -> None:
    assert codes(check_messages(Answer("", "clear"))) == ["answer.nothing"]


def test_corners_without_a_survey_are_named_in_their_order() -> None:
    answer = Answer("", "clear", {"LF": corner(RAIL, verdict="clear")})
    *_, told = check_messages(answer, ["RR", "RF"])
    assert told == message("answer.never-surveyed", corners=corner_messages(("RF", "RR")))


# ---- for an owner


@pytest.mark.parametrize(
    ("chance", "code"),
    [
        (1.0, "owner.certain"),
        (0.95, "owner.certain"),
        (0.8, "owner.probable"),
        (0.5, "owner.possible"),
        (0.1, "owner.unlikely"),
        (0.049, "owner.very-unlikely"),
        (0.0, "owner.very-unlikely"),
    ],
)
def test_an_owner_reads_the_chance_first(chance: float, code: str) -> None:
    spot = replace(LIP, touch_chance=chance)
    told = next(iter(owner_messages(Answer("", "contact", {"LF": corner(spot)}))))
    assert (told.code, told.params["touch_share"]) == (code, chance)


def test_what_was_not_measured_is_never_said_as_unlikely() -> None:
    clear = Answer("", "clear", {"LF": corner(RAIL, verdict="clear")})
    open_ = Answer("", "unmeasured", {"LF": corner(RAIL, verdict="unmeasured")})
    assert codes(owner_messages(open_)) == ["owner.unknown"]
    assert codes(owner_messages(clear, ["RR"])) == ["owner.unknown"]
    touching = Answer("", "contact", {"LF": corner(LIP, uncovered=(NO_EDGE,))})
    assert codes(owner_messages(touching, ["RR"])) == ["owner.probable"]


@pytest.mark.parametrize(
    ("spot", "when"),
    [
        (at(0, 0), "when.standing"),
        (at(0, 20), "when.steered"),
        (at(40, 0), "when.bump"),
        (at(40, -20), "when.bump-steered"),
        (at(-40, 1), "when.droop"),
        (at(-40, 20), "when.droop-steered"),
        (at(20, 3, load="outside"), "when.load-outside"),
        (at(-20, 3, load="inside"), "when.load-inside"),
        (at(20, 3, load="braking"), "when.load-braking"),
        (replace(LIP, carried_by="knuckle"), "when.always"),
    ],
)
def test_an_owner_reads_the_situation_on_the_road(spot: SpotAnswer, when: str) -> None:
    answer = Answer("", "contact", {"LF": corner(replace(spot, verdict="contact"))})
    told = next(iter(owner_messages(answer)))
    assert told.params["when"] == message(when)
