"""Answers as sentences.

Technicians read tenths of a millimetre (``decimals=1``, the default), customers whole ones
(``decimals=0``).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from common.corners import CORNER_NAMES
from common.verdicts import VERDICTS, Verdict
from fitment.engine.model import BODY, LINK, Answer, CornerAnswer, OutOfReach, SpotAnswer


@dataclass(frozen=True)
class AdjusterWords:
    """An adjuster in the words of the trade, its unit, and the parts that give more of it."""

    name: str
    unit: str
    given_by: str


ADJUSTER_WORDS: dict[str, AdjusterWords] = {
    "top_mount_in_mm": AdjusterWords("top mount inboard", "mm", "a camber plate with longer slots"),
    "top_mount_back_mm": AdjusterWords(
        "top mount rearward", "mm", "a top plate that also slides fore and aft"
    ),
    "lower_arm_out_mm": AdjusterWords(
        "lower ball joint outboard", "mm", "arm shims or a lower arm of adjustable length"
    ),
    "upper_arm_in_mm": AdjusterWords(
        "upper ball joint inboard", "mm", "an upper arm of adjustable length"
    ),
    "knuckle_camber_deg": AdjusterWords(
        "turn of the knuckle in the strut clamp", "°", "an eccentric bolt or a slotted clamp"
    ),
    "toe_link_mm": AdjusterWords("toe link longer", "mm", "a toe link with more thread"),
    "ride_height_mm": AdjusterWords(
        "ride height", "mm", "other springs or seats that travel further"
    ),
    "bump_stop_mm": AdjusterWords("bump packer", "mm", "a packer of another thickness"),
}

ROD = "rod:"


def adjuster_words(name: str) -> AdjusterWords:
    """Words for an adjuster; ``rod:NAME`` and unknown names get words from the name."""
    if name.startswith(ROD):
        rod = name.removeprefix(ROD)
        return AdjusterWords(f"{rod} rod longer", "mm", f"a {rod} rod of adjustable length")
    return ADJUSTER_WORDS.get(name) or AdjusterWords(name, "", "other parts")


# --- Figures --------------------------------------------------------------------------------


def length_mm(value: float, decimals: int = 1) -> str:
    """A length that is not nothing: "4.2 mm", or "less than 1 mm" where it rounds to none."""
    step = 10**decimals
    if round(value * step) <= 0:
        return f"less than {1 / step:g} mm"
    return f"{value:.{decimals}f} mm"


def _below_needed(place: SpotAnswer, decimals: int) -> str:
    """The room of a tight place, rounded so that it never reads like the margin it misses."""
    if round(place.clearance_mm, decimals) < place.needed_mm:
        return length_mm(place.clearance_mm, decimals)
    step = 10**decimals
    return length_mm(math.floor(place.clearance_mm * step) / step, decimals)


def _per_cent(chance: float) -> str:
    share = 100 * chance
    if share < 1:
        return "under 1 %"
    return "over 99 %" if share > 99 else f"{share:.0f} %"


# --- Poses ----------------------------------------------------------------------------------


def pose_words(place: SpotAnswer) -> str:
    """Where in travel and steering a place is tightest, from the planned static height."""
    if place.carried_by not in (BODY, LINK):
        return "in every pose, since both move together"
    travel, steer = place.at.travel_mm, place.at.steer_deg
    words = [_travel_words(travel)]
    if abs(steer) >= 0.5:
        side = "inward" if steer > 0 else "outward"
        words.append(f"{abs(steer):.0f}° of lock {side}")
    elif abs(travel) < 0.5:
        words.append("straight ahead")
    if place.at.loaded:
        words.append("loaded in a bend")
    return ", ".join(words)


def _travel_words(travel: float) -> str:
    if abs(travel) < 0.5:
        return "at ride height"
    return f"{abs(travel):.0f} mm into {'bump' if travel > 0 else 'droop'}"


# --- Places ---------------------------------------------------------------------------------


def spot_sentence(place: SpotAnswer, *, decimals: int = 1) -> str:
    """One sentence on one place: what happens there, by how much, and in which pose."""
    return f"{_capital(_spot_clause(place, decimals))}."


def _spot_clause(place: SpotAnswer, decimals: int) -> str:
    part, pose, gap = place.part or "tyre", pose_words(place), place.clearance_mm
    if place.verdict == Verdict.UNMEASURED:
        why = place.note.rstrip(". ") or "the back of the spokes and the barrel were not measured"
        return f"nothing can be said about the {place.place} ({why})"
    if place.verdict == Verdict.CONTACT:
        overlap = length_mm(-gap, decimals)
        return f"the {part} touches the {place.place}, {overlap} too close, {pose}"
    if place.verdict == Verdict.DOUBTFUL:
        return (
            f"the {part} may touch the {place.place}: {length_mm(gap, decimals)} of room, "
            f"give or take {length_mm(place.sigma_mm, decimals)} "
            f"({_per_cent(place.touch_chance)} chance of touching), {pose}; {best_reading(place)} "
            "would settle most of it"
        )
    if place.verdict == Verdict.TIGHT:
        return (
            f"the {part} passes the {place.place} with {_below_needed(place, decimals)} "
            f"where {place.needed_mm:g} mm is wanted, {pose}"
        )
    return f"the {part} clears the {place.place} by {length_mm(gap, decimals)}, {pose}"


#: What to do about each source of doubt that the engine names.
READINGS: dict[str, str] = {
    "survey radius": "measuring this place again, above all its radius from the hub axis",
    "survey axial": "measuring this place again, above all its distance from the hub face",
    "survey clock angle": "reading the clock angles of this place with a finer dial",
    "joint places": "fitting the joints to toe and camber read hanging and jacked up",
    "from car to car": "reading this gap on the car itself, with the wheel that is on it,",
    "what earlier jobs taught": "reading this gap on the car itself, with the wheel that is on it,",
    "gap reading": "reading this gap again",
    "rolled lip": "measuring the lip again once it is rolled",
    "section width": "measuring the section width on this wheel",
    "overall diameter": "taping the tyre's circumference",
    "shoulder drop": "tracing the tyre's shoulder",
    "tread width": "tracing the tyre's shoulder",
    "rim flange": "measuring the flange of this wheel",
    "wheel offset": "measuring the wheel's offset",
    "wheel width": "measuring this wheel between its flanges",
    "barrel": "measuring the barrel of this wheel",
    "back of the spokes": "tracing the back of the spokes of this wheel",
    "planned camber": "setting the camber more closely",
    "planned toe": "setting the toe more closely",
    "ride height": "reading the height once the springs have settled",
    "bump limit": "measuring where the bump stop ends",
    "camber under side load": "measuring how camber gives under side load",
    "toe under side load": "measuring how toe gives under side load",
    "hub inboard under side load": "measuring how far the hub goes inboard under side load",
    "steering lock": "reading the lock on turn plates",
    "camber over travel": "reading the camber hanging and jacked up",
    "toe over travel": "reading the toe hanging and jacked up",
    "hub sideways over travel": "reading how far the hub moves sideways over its travel",
    "hub fore and aft over travel": "reading how far the hub moves fore and aft over its travel",
}
SAME_CAR_READING = "reading this gap on the car itself, with the wheel that is on it,"


def best_reading(place: SpotAnswer) -> str:
    """The reading that would cut the doubt of a place most."""
    if not place.uncertainty:
        return SAME_CAR_READING
    worst = max(place.uncertainty, key=lambda share: share.mm)
    return READINGS.get(worst.source, f"a closer reading of the {worst.source}")


def worst_spot(corner: CornerAnswer) -> SpotAnswer | None:
    """The place that decides a corner: the worst verdict, then the least room."""
    if not corner.places:
        return None
    return min(corner.places, key=lambda place: (VERDICTS.index(place.verdict), place.clearance_mm))


# --- Reach ----------------------------------------------------------------------------------


def reach_sentence(short: OutOfReach) -> str:
    """What an adjuster would have to do, what the parts allow, and which part gives more."""
    words = adjuster_words(short.adjuster)
    unit = words.unit if words.unit == "°" else f" {words.unit}".rstrip()
    return (
        f"Out of reach: {words.name} is needed at {_signed(short.needed)}{unit}, the parts fitted "
        f"allow {_signed(short.min)} to {_signed(short.max)}{unit}, short by "
        f"{abs(short.short_by):.1f}{unit}; {words.given_by} would give it."
    )


def _signed(value: float) -> str:
    text = f"{value:+.1f}".replace("-", "−")
    return "0" if text[1:] == "0.0" else text


# --- Corners and checks -----------------------------------------------------------------------


def corner_sentence(name: str, corner: CornerAnswer, *, decimals: int = 1) -> str:
    """What decides a corner, named first; what is missing; what is out of reach."""
    sentences = [f"{_capital(CORNER_NAMES.get(name, name))}: {_corner_clause(corner, decimals)}."]
    sentences += [reach_sentence(short) for short in corner.out_of_reach]
    return " ".join(sentences)


def _corner_clause(corner: CornerAnswer, decimals: int) -> str:
    worst = worst_spot(corner)
    missing = "; ".join(reason.rstrip(". ") for reason in corner.uncovered)
    if worst is not None and worst.verdict == Verdict.CONTACT:
        others = sum(place.verdict == Verdict.CONTACT for place in corner.places) - 1
        more = f"; {others} more {'place touches' if others == 1 else 'places touch'}"
        clause = _spot_clause(worst, decimals) + (more if others else "")
        return f"{clause}; beyond that unmeasured: {missing}" if missing else clause
    if corner.verdict == Verdict.UNMEASURED and (missing or worst is None):
        return f"unmeasured, so not known to clear: {missing or 'nothing was surveyed here'}"
    if worst is None:
        return corner.verdict
    return _spot_clause(worst, decimals)


def check_sentence(answer: Answer, *, decimals: int = 1) -> str:
    """The whole answer in a sentence or two: the verdict, what decides it, what is out of reach."""
    if not answer.corners:
        return "Nothing was checked."
    same = [name for name, corner in answer.corners.items() if corner.verdict == answer.verdict]
    first = min(same or answer.corners, key=lambda name: _least(answer.corners[name]))
    corner = answer.corners[first]
    where = _capital(CORNER_NAMES.get(first, first))
    sentences = [f"{where}: {_corner_clause(corner, decimals)}."]
    others = [CORNER_NAMES.get(name, name) for name in same if name != first]
    if others and answer.verdict != Verdict.CLEAR:
        sentences.append(f"{_capital(_and(others))}: {_ALSO[answer.verdict]}.")
    elif others:
        sentences.append(f"More room at {_and(others)}.")
    for name, shorts in ((n, c.out_of_reach) for n, c in answer.corners.items()):
        sentences += [
            f"{_capital(CORNER_NAMES.get(name, name))}: {_small(reach_sentence(short))}"
            for short in shorts
        ]
    return " ".join(sentences)


_ALSO = {
    Verdict.CONTACT: "touches as well",
    Verdict.UNMEASURED: "unmeasured as well",
    Verdict.DOUBTFUL: "doubtful as well",
    Verdict.TIGHT: "tight as well",
}


def _least(corner: CornerAnswer) -> float:
    worst = worst_spot(corner)
    gap = math.inf if worst is None else worst.clearance_mm
    return -math.inf if math.isnan(gap) else gap


def _and(words: list[str]) -> str:
    *head, last = words
    return f"{', '.join(head)} and {last}" if head else last


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]
