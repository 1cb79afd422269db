"""Sentences for what the geometry tells: why a suspension cannot take a pose or a setting."""

from __future__ import annotations

from alignment.text.render import Sentence, deg, mm, sentence

SIGNED_MM = mm(1, signed=True)
SIGNED_DEG = deg(1, signed=True)

MESSAGES: dict[str, Sentence] = {
    # What was kept in words, before it became a message
    "verbatim": sentence("{text}"),
    # Places on the car
    "corner.LF": sentence("front left"),
    "corner.RF": sentence("front right"),
    "corner.LR": sentence("rear left"),
    "corner.RR": sentence("rear right"),
    "axle.front": sentence("front axle"),
    "axle.rear": sentence("rear axle"),
    # Parts that stop a linkage
    "part.strut": sentence("the strut"),
    "part.rod": sentence("the rod “{name}”"),
    "part.lower_arm_front": sentence("the lower arm, front rod"),
    "part.lower_arm_rear": sentence("the lower arm, rear rod"),
    "part.upper_arm_front": sentence("the upper arm, front rod"),
    "part.upper_arm_rear": sentence("the upper arm, rear rod"),
    "part.tie_rod": sentence("the tie rod or toe link"),
    # Poses and settings out of reach
    "stop.jams": sentence("{part} stops it after {way_share} of the way"),
    "stop.setting": sentence(
        "the planned setting at {travel_mm} of static travel is beyond the linkage: {jam}",
        travel_mm=SIGNED_MM,
    ),
    "stop.adjusters": sentence("the adjusters cannot all stand there: {jam}"),
    "stop.steer": sentence(
        "{steer_deg} of steering at static height is beyond the linkage: {jam}",
        steer_deg=SIGNED_DEG,
    ),
    "stop.travel": sentence(
        "{travel_mm} of travel from static height with {steer_deg} of steering is beyond the "
        "linkage: {jam}",
        travel_mm=SIGNED_MM,
        steer_deg=SIGNED_DEG,
    ),
    "stop.lock-at-the-end": sentence(
        "the lock is at the end of the linkage: at {steer_deg} of steering and {travel_mm} of "
        "travel from static height its joints are all but in line",
        steer_deg=SIGNED_DEG,
        travel_mm=SIGNED_MM,
    ),
    "stop.travel-at-the-end": sentence(
        "the travel is at the end of the linkage: at {travel_mm} from static height its joints "
        "are all but in line",
        travel_mm=SIGNED_MM,
    ),
    "stop.curves": sentence(
        "{travel_mm} of travel from the survey height is outside the measured curves "
        "({low_mm} to {high_mm})",
        travel_mm=SIGNED_MM,
        low_mm=SIGNED_MM,
        high_mm=SIGNED_MM,
    ),
    "stop.no-axis": sentence("a corner without a steering axis cannot be steered"),
    "stop.steer-about-axis": sentence(
        "{steer_deg} of steering cannot be reached about this axis", steer_deg=SIGNED_DEG
    ),
    "stop.sheet": sentence(
        "{travel_mm} of travel is beyond the measured sheet ({low_mm} to {high_mm}), which "
        "stands instead of the model",
        travel_mm=SIGNED_MM,
        low_mm=SIGNED_MM,
        high_mm=SIGNED_MM,
    ),
    "stop.no-steps": sentence("no combination of steps goes together"),
    "fit.nothing-read": sentence("no camber or toe was read away from the survey height"),
    "fit.curves": sentence("measured curves have no joints to fit"),
    "fit.not-reached": sentence("the joints do not reach the readings: {stop}"),
    # Adjusters: what a positive figure does
    "adjuster.top_mount_in_mm": sentence("top mount inboard"),
    "adjuster.top_mount_back_mm": sentence("top mount rearward"),
    "adjuster.lower_arm_out_mm": sentence("lower ball joint outboard"),
    "adjuster.upper_arm_in_mm": sentence("upper ball joint inboard"),
    "adjuster.knuckle_camber_deg": sentence("turn of the knuckle in the strut clamp"),
    "adjuster.toe_link_mm": sentence("toe link longer"),
    "adjuster.ride_height_mm": sentence("ride height"),
    "adjuster.bump_stop_mm": sentence("bump packer"),
    "adjuster.rods_mm": sentence("rod lengths"),
    "adjuster.rod": sentence("rod “{name}” longer"),
    "adjuster.other": sentence("{name}"),
    # What camber is set with
    "camber-method.top_mount": sentence("the top mount"),
    "camber-method.lower_arm": sentence("the lower arm"),
    "camber-method.upper_arm": sentence("the upper arm"),
    "camber-method.knuckle": sentence("the knuckle bolts"),
    "camber-method.rod": sentence("the link “{name}”"),
    "camber-method.other": sentence("{name}"),
    # Parts that give more of an adjuster
    "given-by.top_mount_in_mm": sentence("a top mount with longer slots"),
    "given-by.top_mount_back_mm": sentence("a top mount that also slides fore and aft"),
    "given-by.lower_arm_out_mm": sentence("arm shims or a lower arm of adjustable length"),
    "given-by.upper_arm_in_mm": sentence("an upper arm of adjustable length"),
    "given-by.knuckle_camber_deg": sentence("an eccentric bolt or a slotted clamp"),
    "given-by.toe_link_mm": sentence("a toe link with more thread"),
    "given-by.ride_height_mm": sentence("other springs or seats that travel further"),
    "given-by.bump_stop_mm": sentence("a packer of another thickness"),
    "given-by.rod": sentence("a rod “{name}” of adjustable length"),
    "given-by.rods_mm": sentence("rods of adjustable length"),
    "given-by.other": sentence("other parts"),
}
