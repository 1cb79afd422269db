"""Why settings of an axle are refused where they are typed, on every form that takes them."""

NO_MEANS = (
    "Say how this camber is to be reached: the same figure leaves different room. "
    "A longer lower arm pushes the bottom of the wheel out, a top mount takes its top in."
)
NO_CAMBER = "Means are chosen but no camber. Type the camber, or take the means away."
NO_TOE = "An axle that is set needs its toe, per wheel. Zero is a setting."
NO_ROD = "Say which rod, by its name in the survey."
