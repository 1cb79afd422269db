"""How well each reading of a survey is known: one sigma, in millimetres or degrees.

Judgements of this project from how such readings scatter in a shop, without a source. What a
check takes for granted where nothing was read stands in ``fitment.engine.defaults``.
"""

from __future__ import annotations

# --- Spots ------------------------------------------------------------------------------

#: A radius or a length by a tape held by hand.
TAPE_MM = 2.0
#: What an edge beside a straightedge, and a plumb line beside a rim, are read to.
EDGE_MM, LINE_MM = 1.7, 1.4
#: A point beside a bar that is bolted to the bare hub, both ways.
HUB_BAR_MM = 1.5
#: The clock of a spot by a level.
CLOCK_DEG = 1.0
#: The plane of the rim's outer lips: its distance from the pad as read, and by the wheel's print.
FRONT_SPACE_MM, RIM_FACE_MM = 0.5, 1.5
#: A cap's depth in that plane.
CAP_DEPTH_MM = 0.5
#: A tyre's radius by a tape round its crown.
TYRE_RADIUS_MM = 0.5
#: Each of the two distances from a rim's lip to a plumb line, which tell camber.
LINE_TO_RIM_MM = 1.0
#: Toe by a string along the car.
TOE_STRING_DEG = 0.3

# --- Poses ------------------------------------------------------------------------------

#: What is not known of the hub's place in another pose, by model and without one.
HUB_BY_MODEL_MM, HUB_BY_HEIGHT_MM, HUB_AT_LOCK_MM = 1.0, 3.0, 8.0
#: And of its angles: as read, and where they were not read.
ANGLE_READ_DEG, ANGLE_GUESSED_DEG = 0.1, 0.5

# --- Travel -----------------------------------------------------------------------------

#: Share of its free length to which a foam stop is squashed, and how well that is known: habit
#: of the trade.
FOAM_SOLID, FOAM_SPREAD = 0.4, 0.2
#: Least standard uncertainty of bump travel, whichever way it was found.
BUMP_MM = 3.0
#: A length on a damper shaft.
SHAFT_MM = 2.0
#: A change of an angle over travel that rack or level read; of a toe that was not read, by the mm.
CHANGE_DEG, TOE_UNREAD_DEG = 0.15, 0.01
#: A hub's shift over travel by a line.
SHIFT_READ_MM = 2.0
#: By how much less sure each mm beyond the highest reading is, degrees.
BEYOND_DEG = 0.02
