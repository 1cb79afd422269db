"""Sentences for what the geometry tells: why a suspension cannot take a pose or a setting."""

from __future__ import annotations

from django.utils.translation import gettext_noop as N_

from alignment.text.render import Sentence, deg, mm, sentence

SIGNED_MM = mm(1, signed=True)
SIGNED_DEG = deg(1, signed=True)

MESSAGES: dict[str, Sentence] = {
    # Parts that stop a linkage
    "part.strut": sentence(N_("the strut")),
    "part.rod": sentence(N_("the rod “{name}”")),
    "part.lower_arm_front": sentence(N_("the lower arm, front rod")),
    "part.lower_arm_rear": sentence(N_("the lower arm, rear rod")),
    "part.upper_arm_front": sentence(N_("the upper arm, front rod")),
    "part.upper_arm_rear": sentence(N_("the upper arm, rear rod")),
    "part.tie_rod": sentence(N_("the tie rod or toe link")),
    # Poses and settings out of reach
    "stop.jams": sentence(N_("{part} stops it after {way_share} of the way")),
    "stop.setting": sentence(
        N_("the planned setting at {travel_mm} of static travel is beyond the linkage: {jam}"),
        travel_mm=SIGNED_MM,
    ),
    "stop.adjusters": sentence(N_("the adjusters cannot all stand there: {jam}")),
    "stop.steer": sentence(
        N_("{steer_deg} of steering at static height is beyond the linkage: {jam}"),
        steer_deg=SIGNED_DEG,
    ),
    "stop.travel": sentence(
        N_(
            "{travel_mm} of travel from static height with {steer_deg} of steering is beyond the "
            "linkage: {jam}"
        ),
        travel_mm=SIGNED_MM,
        steer_deg=SIGNED_DEG,
    ),
    "stop.curves": sentence(
        N_(
            "{travel_mm} of travel from the survey height is outside the measured curves "
            "({low_mm} to {high_mm})"
        ),
        travel_mm=SIGNED_MM,
        low_mm=SIGNED_MM,
        high_mm=SIGNED_MM,
    ),
    "stop.no-axis": sentence(N_("a corner without a steering axis cannot be steered")),
    "stop.steer-about-axis": sentence(
        N_("{steer_deg} of steering cannot be reached about this axis"), steer_deg=SIGNED_DEG
    ),
    "stop.sheet": sentence(
        N_(
            "{travel_mm} of travel is beyond the measured sheet ({low_mm} to {high_mm}), which "
            "stands instead of the model"
        ),
        travel_mm=SIGNED_MM,
        low_mm=SIGNED_MM,
        high_mm=SIGNED_MM,
    ),
    "stop.no-steps": sentence(N_("no combination of steps goes together")),
}
