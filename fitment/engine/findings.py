"""What an answer tells people, as messages: findings, poses, reach, corners, the whole check.

For the shop it is what was found. For an owner it is what that will do on the road and how likely
it is; such words never say that anything will fit. Sentences are made in ``fitment.text``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from alignment.geometry.adjuster_units import adjuster_message
from common.corners import CORNERS
from common.message import Message, message
from common.verdicts import Verdict
from fitment.engine.deciding import best_reading, deciding_corner, worst_spot
from fitment.engine.model import BODY, LINK, Answer, CornerAnswer, OutOfReach, SpotAnswer

#: Poses nearer than this to ride height and to straight ahead are said to be there.
STANDING_MM, AHEAD_DEG = 0.5, 0.5
#: Steering that an owner would call a turned wheel, degrees.
TURNED_DEG = 3.0
#: Inputs that are named of what makes an uncertainty.
NAMED = 3
#: Words for a chance from this share up.
CHANCES = (
    (0.95, "certain"),
    (0.60, "probable"),
    (0.25, "possible"),
    (0.05, "unlikely"),
    (0.0, "very-unlikely"),
)


# ---- one spot


def finding(spot: SpotAnswer, corner: str = "") -> Message:
    """What happens at a spot, by how much, and in which pose; ``corner`` names the wheel."""
    what = message(f"what.{spot.part or 'tyre'}{f'.{corner}' if corner else ''}")
    if spot.verdict == Verdict.UNMEASURED:
        why = spot.note or message("inside.not-measured")
        return message("finding.unmeasured", what=what, spot=spot.place, why=why)
    told = {
        "what": what,
        "spot": spot.place,
        "gap_mm": abs(spot.clearance_mm),
        "sigma_mm": spot.sigma_mm,
        "pose": pose(spot),
    }
    if spot.verdict == Verdict.DOUBTFUL:
        told |= {
            "touch_share": spot.touch_chance,
            "reading": message(f"reading.{best_reading(spot)}"),
        }
    elif spot.verdict == Verdict.TIGHT:
        told["needed_mm"] = spot.needed_mm
    return message(f"finding.{spot.verdict}", **told)


def pose(spot: SpotAnswer) -> Message:
    """Where in travel and steering a spot is tightest, from the planned static height."""
    if not moves_against_wheel(spot):
        return message("pose.constant")
    return pose_of(spot.at.travel_mm, spot.at.steer_deg, load=spot.at.load)


def pose_of(travel: float, steer: float, *, load: str = "") -> Message:
    """A pose by its travel from ride height (mm, bump +) and steering (°, front edge in +), and
    what loads it."""
    ahead = abs(steer) < AHEAD_DEG
    if abs(travel) >= STANDING_MM:
        told = message("pose.bump" if travel > 0 else "pose.droop", travel_mm=abs(travel))
    else:
        told = message("pose.standing" if ahead else "pose.height")
    if not ahead:
        code = "pose.steered-in" if steer > 0 else "pose.steered-out"
        told = message(code, height=told, steer_deg=abs(steer))
    return message(f"pose.load-{load}", pose=told) if load else told


def moves_against_wheel(spot: SpotAnswer) -> bool:
    """Whether travel and steering change the clearance: not where the knuckle carries both."""
    return spot.carried_by in (BODY, LINK)


def mostly(spot: SpotAnswer) -> Message | None:
    """The input that the uncertainty of a spot comes from most; None where no share was kept."""
    if not spot.uncertainty:
        return None
    most = max(spot.uncertainty, key=lambda part: part.mm)
    return message("source.mostly", source=message(f"source.{most.source}"), part_mm=most.mm)


def most_of_it(spot: SpotAnswer) -> Message | None:
    """The three inputs that make most of a spot's uncertainty; None where no share was kept."""
    largest = sorted(spot.uncertainty, key=lambda part: -part.mm)[:NAMED]
    if not largest:
        return None
    shares = tuple(
        message("source.share", source=message(f"source.{part.source}"), part_mm=part.mm)
        for part in largest
    )
    return message("source.most-of-it", sigma_mm=spot.sigma_mm, sources=shares)


# ---- reach


def reach(short: OutOfReach) -> Message:
    """What an adjuster would have to do, what the parts allow, and which part gives more."""
    unit = "deg" if short.adjuster.endswith("_deg") else "mm"
    figures = {
        f"needed_{unit}": short.needed,
        f"least_{unit}": short.min,
        f"most_{unit}": short.max,
        f"short_{unit}": abs(short.short_by),
    }
    return message(
        f"reach.{unit}",
        adjuster=adjuster_message(short.adjuster),
        given_by=adjuster_message(short.adjuster, "given-by"),
        **figures,
    )


# ---- corners


def corner_messages(corners: Iterable[str]) -> tuple[Message, ...]:
    """Corners as they stand in a list: "front left and front right"."""
    return tuple(message(f"corner.{name}") for name in corners)


def corner_finding(corners: Sequence[str], answer: CornerAnswer) -> Iterator[Message]:
    """What decides a corner, or several that are alike, and what is missing."""
    worst, named = worst_spot(answer), corner_messages(corners)
    missing = answer.uncovered
    if answer.verdict == Verdict.UNMEASURED and (missing or worst is None):
        why = missing or (message("answer.nothing-surveyed"),)
        yield message("answer.corner-open", corners=named, why=why)
        return
    if worst is None:
        verdict = message(f"verdict.{answer.verdict}")
        yield message("answer.corner-verdict", corners=named, verdict=verdict)
        return
    if len(corners) == 1:
        yield finding(worst, corners[0])
    else:
        yield message("answer.at-corners", corners=named, told=finding(worst))
    yield from (note for note in answer.notes if note.code == "note.doubtful-as-a-whole")
    if worst.verdict == Verdict.CONTACT:
        also = tuple(
            spot.place
            for spot in answer.places
            if spot.verdict == Verdict.CONTACT and spot is not worst
        )
        if also:
            yield message("finding.also", spots=also)
        if missing:
            yield message("answer.open-besides", why=missing)


# ---- checks


def check_messages(answer: Answer, unmeasured: Sequence[str] = ()) -> Iterator[Message]:
    """The whole answer: what decides it, where else, what is out of reach, what was not surveyed.

    ``unmeasured`` are the corners that had no survey.
    """
    deciding = deciding_corner(answer)
    if deciding is None:
        yield message("answer.nothing")
    else:
        yield from corner_finding((deciding.corner,), answer.corners[deciding.corner])
        others = corner_messages(deciding.others)
        if others and answer.verdict == Verdict.CLEAR:
            yield message("answer.more-elsewhere", corners=others)
        elif others:
            yield message(f"answer.also-{answer.verdict}", corners=others)
    yield from answer.notes
    for name, corner in answer.corners.items():
        for short in corner.out_of_reach:
            yield message("reach.at", corners=corner_messages((name,)), told=reach(short))
    if unmeasured:
        ordered = sorted(unmeasured, key=CORNERS.index)
        yield message("answer.never-surveyed", corners=corner_messages(ordered))


def owner_messages(answer: Answer, unmeasured: Sequence[str] = ()) -> Iterator[Message]:
    """The same for an owner: what it will do, in which situation, and how likely that is."""
    deciding = deciding_corner(answer)
    corner = answer.corners[deciding.corner] if deciding else None
    spot = worst_spot(corner) if corner else None
    touches = spot is not None and spot.verdict == Verdict.CONTACT
    incomplete = unmeasured or answer.verdict == Verdict.UNMEASURED
    if spot is None or (incomplete and not touches):
        yield message("owner.unknown")
    else:
        words = next(words for least, words in CHANCES if spot.touch_chance >= least)
        yield message(
            f"owner.{words}",
            spot=spot.place,
            when=situation(spot),
            touch_share=spot.touch_chance,
        )
    if any(one.out_of_reach for one in answer.corners.values()):
        yield message("owner.out-of-reach")


def situation(spot: SpotAnswer) -> Message:
    """The pose of a spot in an owner's words."""
    if not moves_against_wheel(spot):
        return message("when.always")
    if spot.at.load:
        return message(f"when.load-{spot.at.load}")
    turned = abs(spot.at.steer_deg) >= TURNED_DEG
    if spot.at.travel_mm >= STANDING_MM:
        return message("when.bump-steered" if turned else "when.bump")
    if spot.at.travel_mm <= -STANDING_MM:
        return message("when.droop-steered" if turned else "when.droop")
    return message("when.steered" if turned else "when.standing")
