"""What a figure in a check file can sensibly be.

The spans are wide: they catch a slipped decimal point, a wrong unit or a swapped field, and
leave unusual cars alone. They belong to this project; no standard sets them.
"""

from __future__ import annotations

from fitment.engine.checkfile.reader import Range

# Angles.
CAMBER = Range(-20, 20, "°")
TOE = Range(-20, 20, "°")
TOE_PLANNED = Range(-5, 5, "°")
CASTER = Range(-15, 30, "°")
INCLINATION = Range(-10, 40, "°")
CLOCK = Range(-360, 360, "°")
LOCK = Range(0, 70, "°")
STEER = Range(-70, 70, "°")

# The survey about the hub, and joints in the corner's frame.
RADIUS = Range(10, 800, "mm")
AXIAL = Range(-700, 700, "mm")
PLACE = Range(-1500, 1500, "mm")
HALF_THICKNESS = Range(0, 100, "mm")
TURNED_IN = Range(0.5, 40, "mm")
OPEN_BEYOND = Range(0, 1000, "mm")

# Travel. A stop may stand on the far side of the survey height once a damper's body was moved.
STOP = Range(-200, 400, "mm")
TRAVEL = Range(-300, 300, "mm")
CURVE_SHIFT = Range(-150, 150, "mm")

# Adjusters.
SHIFT = Range(-100, 100, "mm")
HEIGHT = Range(-200, 200, "mm")
PACKER = Range(0, 150, "mm")
KNUCKLE_TURN = Range(-15, 15, "°")

# Elastic change per g.
ELASTIC_ANGLE = Range(-5, 5, "° per g")
ELASTIC_SHIFT = Range(-30, 30, "mm per g")
TYRE_SIDE = Range(0, 60, "mm per g")

# Wheel and tyre.
RIM_DIAMETER = Range(10, 24, "in")
RIM_WIDTH = Range(3, 16, "in")
RIM_WIDTH_MM = Range(70, 410, "mm")
SEAT_DIAMETER = Range(240, 620, "mm")
SEAT_OFF_MM = 6.0
"""How far a bead seat may lie from the marked inches: standards round by 5 mm at most."""
OFFSET = Range(-150, 150, "mm")
SPACER = Range(0, 150, "mm")
FLANGE = Range(5, 40, "mm")
BARREL = Range(3, 80, "mm")
SPOKE_BACK = Range(-250, 250, "mm")
SPOKE_RADIUS = Range(0, 350, "mm")
SECTION_WIDTH = Range(100, 450, "mm")
OVERALL_DIAMETER = Range(400, 1000, "mm")
SHOULDER_DROP = Range(0.1, 150, "mm")
WEAR = Range(0, 12, "mm")
GROWTH = Range(0, 15, "mm")
GAP = Range(-5, 300, "mm")
PROFILE_AXIAL = Range(-260, 260, "mm")
PROFILE_RADIUS = Range(100, 500, "mm")

# Duty.
FRACTION = Range(0, 1)
LATERAL = Range(0, 4, "g")
BRAKES = Range(0, 2, "g")
NEEDED = Range(0, 50, "mm")

# Standard uncertainties.
SIGMA_MM = Range(0, 50, "mm")
SIGMA_DEG = Range(0, 5, "°")
READING_DEG = Range(0.001, 1, "°")
SHIFT_LEARNED = Range(-50, 50, "mm")
COUNT = Range(0, 1e6)

SHORTEST_ROD_MM = 10.0
"""Two joints nearer than this are one joint entered twice."""

BEAD_SLACK_MM = 25.0
"""How far from the bead seat a traced profile may start or end: the flange hides the rest."""
