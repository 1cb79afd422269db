"""Sentences for measuring: what a survey takes for granted, what it lacks, what looks wrong."""

from __future__ import annotations

from alignment.text.render import (
    Sentence,
    commas,
    deg,
    mm,
    number,
    semicolons,
    sentence,
    short_mm,
)

WHOLE_MM = mm(0)
CLOCK = deg(signed=True)
TENTHS = deg(1, signed=True)
READ_MM, SIGNED_MM = mm(1), mm(0, signed=True)
WHOLE_DEG = deg()


GRANTED: dict[str, Sentence] = {
    "granted.typical": sentence(
        "Assumed: how the wheel moves, as typical of {kind} (from memory, no source). To look "
        "at, not to book on: the corner stays unmeasured until heights or joints are read."
    ),
    "granted.droop": sentence(
        "Assumed: {droop_mm} of droop (from memory, no source), unread too.",
        droop_mm=short_mm,
    ),
    "granted.hub-out_mm": sentence(
        "Assumed: the hub moves straight up and down as far as sideways goes, ±{each_mm} for "
        "each millimetre of travel. It was not read.",
        each_mm=short_mm,
    ),
    "granted.hub-forward_mm": sentence(
        "Assumed: the hub moves straight up and down as far as fore and aft goes, ±{each_mm} "
        "for each millimetre of travel. It was not read.",
        each_mm=short_mm,
    ),
    "granted.carried-on": sentence(
        "Camber and toe were read up to {read_mm} of travel; beyond it they are carried on "
        "straight, less sure with every millimetre. Read them higher up, with a stand "
        "under the arm and the body still on its own stands.",
        read_mm=mm(0, signed=True),
    ),
    "granted.copied": sentence(
        "Taken over from another car model and not confirmed on this one: {spots}.",
        spots=commas,
    ),
}

USES: dict[str, Sentence] = {
    "use.standing": sentence("Standing, straight ahead"),
    "use.locks": sentence("Standing, at both locks"),
    "use.driven": sentence("Driven"),
    "use.bumps": sentence("Driven, over bumps"),
    "use.side-load": sentence("Driven, under side load"),
    "lacks.survey": sentence("not enough for a survey yet"),
    "lacks.turn-plate": sentence("the turn plate {pose}"),
    "lacks.bump": sentence("the bump that is left, on the damper's shaft"),
    "lacks.compliance": sentence("the compliance of camber and toe under side load"),
    "lacks.possible-pose": sentence(
        "a spot was read in a pose that the surveyed suspension cannot take"
    ),
    "stood.standing": sentence("standing, straight ahead"),
    "stood.lock_in": sentence("at full lock, front edge turned in"),
    "stood.lock_out": sentence("at full lock, front edge turned out"),
    "settle.most": sentence(
        "The check of {order} hangs most on {what}: that would bring the uncertainty at the "
        "{spot} from ±{before_mm} to ±{after_mm}.",
        before_mm=mm(1),
        after_mm=mm(1),
    ),
    "settle.gap": sentence("the gap between the tyre on the car and the {spot}, {pose}"),
    "settle.bump": sentence("the bump that is left"),
    "settle.plate": sentence("the plate at this lock"),
    "settle.height": sentence("the height as it stands"),
}

QUESTIONS: dict[str, Sentence] = {
    "ask.camber": sentence(
        "{camber_deg} of camber: is the top inboard counted negative?", camber_deg=TENTHS
    ),
    "ask.toe": sentence("{toe_deg} of toe: of this wheel alone, in degrees?", toe_deg=TENTHS),
    "ask.front-space": sentence(
        "With this front space the wheel's offset would be {offset_mm}. Read from the rim's "
        "lips to the mounting pad?",
        offset_mm=mm(0, signed=True),
    ),
    "ask.around": sentence(
        "{around_mm} round the crown, where this size comes to some {printed_mm}.",
        around_mm=WHOLE_MM,
        printed_mm=WHOLE_MM,
    ),
    "ask.inside-tyre": sentence(
        "The {spot} at {clock_deg} would lie {inside_mm} inside the tyre that is on the car. "
        "Sign or reference wrong?",
        clock_deg=CLOCK,
        inside_mm=WHOLE_MM,
    ),
    "ask.front-and-rear": sentence(
        "The {spot} at {clock_deg} is where the other side has it at {other_deg}. Front and "
        "rear mixed up?",
        clock_deg=CLOCK,
        other_deg=CLOCK,
    ),
    "ask.sides-apart": sentence(
        "The {spot} at {clock_deg} is {apart_mm} from where the other side has it. Read it "
        "again, or is the body not straight?",
        clock_deg=CLOCK,
        apart_mm=WHOLE_MM,
    ),
    "ask.read-twice": sentence(
        "The {spot} at {clock_deg} was read {apart_mm} from here before. Which one is right?",
        clock_deg=CLOCK,
        apart_mm=WHOLE_MM,
    ),
    "ask.meant": sentence(
        "{figure}: {read_mm}, where cars have {low_mm} to {high_mm}. Meant as {meant}?",
        read_mm=READ_MM,
        low_mm=WHOLE_MM,
        high_mm=WHOLE_MM,
        meant=semicolons,
    ),
    "ask.unusual": sentence(
        "{figure}: {read_mm}, where cars have {low_mm} to {high_mm}. Look at the figure, its unit "
        "and its sign.",
        read_mm=READ_MM,
        low_mm=WHOLE_MM,
        high_mm=WHOLE_MM,
    ),
    "meant.sign": sentence("{meant_mm}, the sign turned round", meant_mm=SIGNED_MM),
    "meant.centimetres": sentence("{meant_mm}, read in centimetres", meant_mm=READ_MM),
    "meant.inches": sentence("{meant_mm}, read in inches", meant_mm=READ_MM),
    "meant.point": sentence("{meant_mm}, the decimal point misplaced", meant_mm=READ_MM),
    "meant.tenfold": sentence("{meant_mm}, one digit too many", meant_mm=READ_MM),
    "ask.bushes": sentence(
        "With its figure forward the {joint} lies on the wrong side of the {other}. Is its sign "
        "turned round?"
    ),
    "ask.inboard": sentence(
        "The {joint} and the {other} are hardly apart across the car, or the wrong way round. Is "
        "a sign turned round?"
    ),
    "ask.slant": sentence(
        "From the {other} to the {joint} the rod would run along the car. Is a sign forward "
        "turned round?"
    ),
    "ask.outboard-of-lip": sentence(
        "The {spot} at {clock_deg} would stand out {beyond_mm} beyond the lip of the arch. Sign or "
        "reference wrong?",
        clock_deg=CLOCK,
        beyond_mm=WHOLE_MM,
    ),
    "ask.plumb-line-height": sentence(
        "The plumb line's height is not the one that it stands at. Read it again?"
    ),
    "ask.hanging": sentence("Hanging, the lip should be farther from the hub than standing."),
    "ask.jacked": sentence("Jacked up under the arm, the lip should be nearer to the hub."),
    "ask.plumb-line-camber": sentence(
        "The plumb line tells {line_deg} of camber where {camber_deg} was read. Is the line "
        "outboard of the rim counted positive?",
        line_deg=TENTHS,
        camber_deg=TENTHS,
    ),
    "ask.plate": sentence("{plate_deg} on the plate: was the wheel at its stop, or still ahead?"),
    "ask.locks": sentence(
        "The front edge goes {in_deg} in and {out_deg} out. Usually it is the other way "
        "about: are the two locks, or left and right, mixed up?"
    ),
    "ask.bar-standing": sentence("A bar goes on a bare hub, and that does not stand. Did it hang?"),
    "ask.rim-hanging": sentence(
        "Straightedge and plumb line go by the rim. Was the wheel still on?"
    ),
    "ask.bulge": sentence(
        "At {clock_deg} a loaded tyre bulges. Read the gap higher up.", clock_deg=CLOCK
    ),
    "ask.joint-pose": sentence(
        "The {joint} turns with the hub. Read it as high as it stands: bring the arm up and put "
        "a stand under it."
    ),
    "ask.dip": sentence(
        "The dip took {used_mm}, more than the {left_mm} that are left. Shaft, stop or ratio?",
        used_mm=WHOLE_MM,
        left_mm=WHOLE_MM,
    ),
}

OWN_WHEEL: dict[str, Sentence] = {
    "own-wheel.steered-in": sentence(
        "with the front edge turned in by {steer_deg}", steer_deg=WHOLE_DEG
    ),
    "own-wheel.steered-out": sentence(
        "with the front edge turned out by {steer_deg}", steer_deg=WHOLE_DEG
    ),
    "own-wheel.touches": sentence(
        "The wheel on this car would overlap the {spot} by {overlap_mm}, {pose}.",
        overlap_mm=READ_MM,
    ),
    "own-wheel.most-likely": sentence("Most likely wrong: {guess}"),
    "own-wheel.would-be-mm": sentence(
        "{reading}. {figure}: {read_mm} would have to be {wanted_mm}, {times} times "
        "its uncertainty away.",
        read_mm=READ_MM,
        wanted_mm=READ_MM,
        times=number(1),
    ),
    "own-wheel.would-be-deg": sentence(
        "{reading}. {figure}: {read_deg} would have to be {wanted_deg}, {times} times "
        "its uncertainty away.",
        read_deg=TENTHS,
        wanted_deg=TENTHS,
        times=number(1),
    ),
    "own-wheel.would-be-in": sentence(
        "{reading}. {figure}: {read_in} in would have to be {wanted_in} in, {times} "
        "times its uncertainty away.",
        read_in=number(1),
        wanted_in=number(1),
        times=number(1),
    ),
}

MESSAGES = GRANTED | USES | QUESTIONS | OWN_WHEEL
