"""Sentences for a check's answer: findings, poses, chances, what is missing, what is out of reach.

Findings name the tyre or the wheel of the corner and the spot; a customer reads an owner's words
first, which never say that anything will fit.
"""

from __future__ import annotations

from alignment.text.render import Sentence, capital, deg, mm, semicolons, sentence, short_mm
from fitment.text.forms import chance, clearance, per_cent_of_chance

SIGNED_MM = mm(1, signed=True)
SIGNED_DEG = deg(1, signed=True)

FINDINGS: dict[str, Sentence] = {
    # {what} is one of the parts below; {gap_mm} stands with its uncertainty
    "finding.contact": sentence(
        "{what} overlaps the {spot} by {gap_mm}, {pose}.", gap_mm=clearance()
    ),
    "finding.doubtful": sentence(
        "{what} may touch the {spot}: the clearance is {gap_mm}, {touch_share} chance of "
        "touching, {pose}. To narrow this down: {reading}.",
        gap_mm=clearance(),
        touch_share=per_cent_of_chance,
    ),
    "finding.tight": sentence(
        "{what} clears the {spot} by {gap_mm} where {needed_mm} is needed, {pose}.",
        gap_mm=clearance(needed="needed_mm"),
        needed_mm=short_mm,
    ),
    "finding.clear": sentence("{what} clears the {spot} by {gap_mm}, {pose}.", gap_mm=clearance()),
    "finding.unmeasured": sentence("the clearance of {what} to the {spot} is not known: {why}."),
    "finding.also": sentence("Also overlapping: {spots}."),
    # What touches
    "what.tyre": sentence("the tyre"),
    "what.wheel": sentence("the wheel"),
    "what.tyre.LF": sentence("the front left tyre"),
    "what.tyre.RF": sentence("the front right tyre"),
    "what.tyre.LR": sentence("the rear left tyre"),
    "what.tyre.RR": sentence("the rear right tyre"),
    "what.wheel.LF": sentence("the front left wheel"),
    "what.wheel.RF": sentence("the front right wheel"),
    "what.wheel.LR": sentence("the rear left wheel"),
    "what.wheel.RR": sentence("the rear right wheel"),
    # Poses
    "pose.constant": sentence("the same over all travel and steering"),
    "pose.standing": sentence("at ride height, straight ahead"),
    "pose.bump": sentence("{travel_mm} into bump", travel_mm=mm(0)),
    "pose.droop": sentence("{travel_mm} into droop", travel_mm=mm(0)),
    "pose.height": sentence("at ride height"),
    "pose.steered-in": sentence("{height} with {steer_deg} of steering inward"),
    "pose.steered-out": sentence("{height} with {steer_deg} of steering outward"),
    "pose.load-outside": sentence("{pose}, in a hard corner"),
    "pose.load-inside": sentence("{pose}, on the inside of a hard corner"),
    "pose.load-braking": sentence("{pose}, under hard braking"),
}

ANSWERS: dict[str, Sentence] = {
    "answer.nothing": sentence("Nothing was checked."),
    "answer.stopped": sentence(
        "The suspension as surveyed cannot be set as planned: {why}.",
    ),
    "answer.more-elsewhere": sentence("More clearance at the {corners}."),
    "answer.also-contact": sentence("Also overlapping: {corners}."),
    "answer.also-unmeasured": sentence("Also not fully measured: {corners}."),
    "answer.also-doubtful": sentence("Also doubtful: {corners}."),
    "answer.also-tight": sentence("Also tight: {corners}."),
    "answer.at-corners": sentence("{corners}: {told}", corners=capital, told=capital),
    "answer.corner-verdict": sentence("{corners}: {verdict}.", corners=capital),
    "answer.corner-open": sentence(
        "{corners}: not fully measured, so not known to clear: {why}.",
        corners=capital,
        why=semicolons,
    ),
    "answer.open-besides": sentence("Beyond that not measured: {why}.", why=semicolons),
    "answer.nothing-surveyed": sentence("no spot was surveyed here"),
    "answer.never-surveyed": sentence("Never surveyed, so no clearance is known there: {corners}."),
    "verdict.contact": sentence("contact"),
    "verdict.unmeasured": sentence("unmeasured"),
    "verdict.doubtful": sentence("doubtful"),
    "verdict.tight": sentence("tight"),
    "verdict.clear": sentence("clear"),
    "verdict.out of reach": sentence("out of reach"),
    # What an owner reads first; {spot} is what is touched, {when} a situation on the road
    "owner.certain": sentence(
        "It will almost certainly rub the {spot} {when}: the chance on your car is {touch_share}.",
        touch_share=chance,
    ),
    "owner.probable": sentence(
        "It will probably rub the {spot} {when}: the chance on your car is {touch_share}.",
        touch_share=chance,
    ),
    "owner.possible": sentence(
        "It may rub the {spot} {when}: the chance on your car is {touch_share}.",
        touch_share=chance,
    ),
    "owner.unlikely": sentence(
        "It is unlikely to rub the {spot} {when}: the chance on your car is {touch_share}.",
        touch_share=chance,
    ),
    "owner.very-unlikely": sentence(
        "It is very unlikely to rub: the chance on your car is {touch_share}.",
        touch_share=chance,
    ),
    "owner.unlikely-anywhere": sentence(
        "It is unlikely to rub: the chance on your car, all spots together, is {touch_share}.",
        touch_share=chance,
    ),
    "owner.possible-anywhere": sentence(
        "It may rub somewhere: the chance on your car, all spots together, is {touch_share}.",
        touch_share=chance,
    ),
    "owner.unknown": sentence(
        "Whether it will rub is not known yet: not everything has been measured."
    ),
    "owner.out-of-reach": sentence(
        "The parts on your car do not reach this setting.",
    ),
    "when.always": sentence("all the time"),
    "when.standing": sentence("even when the car stands still"),
    "when.steered": sentence("when the wheel is turned"),
    "when.bump": sentence("when you hit a bump"),
    "when.bump-steered": sentence("when you hit a bump with the wheel turned"),
    "when.droop": sentence("when the wheel drops away, as over a crest"),
    "when.droop-steered": sentence("when the wheel drops away while it is turned"),
    "load.outside": sentence("outside wheel"),
    "load.inside": sentence("inside wheel"),
    "load.braking": sentence("braking"),
    "when.load-outside": sentence("in a hard corner"),
    "when.load-inside": sentence("on the inside of a hard corner"),
    "when.load-braking": sentence("under hard braking"),
    # Why a survey does not cover a use
    "open.outboard": sentence(
        "nothing measured outboard from {from_deg} to {to_deg} of clock",
        from_deg=deg(signed=True),
        to_deg=deg(signed=True),
    ),
    "open.inboard": sentence(
        "nothing measured inboard from {from_deg} to {to_deg} of clock",
        from_deg=deg(signed=True),
        to_deg=deg(signed=True),
    ),
    "open.carried": sentence("nothing measured that the knuckle or strut carries"),
    "open.bump": sentence("how far the wheel can go into bump is not known"),
    "open.movement": sentence(
        "how this wheel moves over its travel: typical curves stand in for measured ones"
    ),
    "inside.not-measured": sentence(
        "inside the wheel: the back of the spokes and the barrel were not measured"
    ),
    # Notes of an answer
    "note.no-compliance": sentence(
        "judged without compliance in corners: this corner's was not measured"
    ),
    "note.compliance-in-part": sentence(
        "compliance in corners was not measured for {what}: none is taken there"
    ),
    "note.no-braking": sentence(
        "judged without braking, {g} g in this use: how far this corner's hub goes to the rear was "
        "not measured"
    ),
    "note.tyre-gives": sentence(
        "{added_mm} more clearance is needed at the {spot}: near the ground the tyre goes sideways "
        "by {gives_mm} per g under side load, here {g} g"
    ),
    "note.tyre-gives-assumed": sentence(
        "{added_mm} more clearance is needed at the {spot}: near the ground the tyre is taken to "
        "go sideways by {gives_mm} per g under side load, here {g} g, which is assumed"
    ),
    "note.rim-leads": sentence(
        "at the {spot} the rim is what is near: {less_mm} less tyre gains {gain_mm}",
        less_mm=short_mm,
        gain_mm=mm(1),
    ),
    "gives.camber": sentence("camber"),
    "gives.toe": sentence("toe"),
    "gives.sideways": sentence("the hub sideways"),
    "note.no-bump": sentence("judged at and below static height only: the bump limit is not known"),
    "note.no-lip-to-roll": sentence(
        "arch lips are planned to be rolled, but no lip of this survey says that it turns in "
        "far enough: judged as surveyed"
    ),
    "note.lip-rolled": sentence(
        "judged with the {spot} rolled: it turns in by {turned_in_mm}, of which {left_mm} are "
        "taken to be left (common practice, no source)",
        turned_in_mm=short_mm,
        left_mm=short_mm,
    ),
    "stop.rests-on-bump-stop": sentence(
        "static height is {beyond_mm} beyond the bump stop: the car would rest on it",
        beyond_mm=mm(1),
    ),
    "stop.below-droop": sentence("static height is {below_mm} below full droop", below_mm=mm(1)),
    "stop.no-change-of-lock": sentence(
        "the lock is at the end of the linkage, {steer_deg} of steering: from there not even a "
        "small change of {source} can be followed",
        steer_deg=deg(1, signed=True),
    ),
    "stop.no-change-of-travel": sentence(
        "the travel is at the end of the linkage, {travel_mm} from static height: from there not "
        "even a small change of {source} can be followed",
        travel_mm=SIGNED_MM,
    ),
    "note.doubtful-as-a-whole": sentence(
        "no spot is doubtful by itself, but the chance that anything touches is {touch_share}: "
        "{most_share} at most counts as clear",
        touch_share=per_cent_of_chance,
    ),
    "note.gap-beyond-span": sentence(
        "the gap read at the {spot}, {travel_mm} of travel and {steer_deg} of steering, is kept "
        "but left out of the correction: this use goes from {low_mm} to {high_mm} of travel and "
        "from {out_deg} to {inward_deg} of steering there",
        travel_mm=SIGNED_MM,
        steer_deg=SIGNED_DEG,
        low_mm=SIGNED_MM,
        high_mm=SIGNED_MM,
        out_deg=SIGNED_DEG,
        inward_deg=SIGNED_DEG,
    ),
    "note.gaps-not-settled": sentence(
        "the gaps read on this car are kept but left out of the correction: {why}"
    ),
    "note.gap-out-of-reach": sentence(
        "the gap read at the {spot}, {travel_mm} of travel and {steer_deg} of steering, is left "
        "out: {why}",
        travel_mm=mm(0, signed=True),
        steer_deg=deg(signed=True),
    ),
    "note.proof-ended": sentence(
        "{spot}: no less than {certified_mm} by proof, which ended after {cells} cells of poses; "
        "the least found is {least_mm}",
        certified_mm=mm(1),
        least_mm=mm(1),
    ),
    # Out of reach
    "reach.mm": sentence(
        "Out of reach: {adjuster} is needed at {needed_mm}, the parts fitted allow {least_mm} "
        "to {most_mm}, {short_mm} short. {given_by} would give it.",
        needed_mm=SIGNED_MM,
        least_mm=SIGNED_MM,
        most_mm=SIGNED_MM,
        short_mm=mm(1),
        given_by=capital,
    ),
    "reach.deg": sentence(
        "Out of reach: {adjuster} is needed at {needed_deg}, the parts fitted allow "
        "{least_deg} to {most_deg}, {short_deg} short. {given_by} would give it.",
        needed_deg=SIGNED_DEG,
        least_deg=SIGNED_DEG,
        most_deg=SIGNED_DEG,
        short_deg=deg(1),
        given_by=capital,
    ),
    "reach.at": sentence("{corners}: {told}", corners=capital),
}

READINGS: dict[str, Sentence] = {
    # What to measure against each source of uncertainty
    "reading.survey radius": sentence(
        "measure this spot again, above all its radius from the hub axis"
    ),
    "reading.survey axial": sentence(
        "measure this spot again, above all its distance from the hub face"
    ),
    "reading.survey clock angle": sentence("read the clock angles of this spot with a finer dial"),
    "reading.joint places": sentence("fit the joints to camber and toe read hanging and jacked up"),
    "reading.gap reading": sentence("read this gap again"),
    "reading.rolled lip": sentence("measure the lip again once it is rolled"),
    "reading.section width": sentence("measure the section width on this wheel"),
    "reading.overall diameter": sentence("tape the tyre's circumference"),
    "reading.shoulder drop": sentence("trace the tyre's shoulder"),
    "reading.tread width": sentence("trace the tyre's shoulder"),
    "reading.rim flange": sentence("measure the flange of this wheel"),
    "reading.wheel offset": sentence("measure the wheel's offset"),
    "reading.wheel width": sentence("measure this wheel between its flanges"),
    "reading.barrel": sentence("measure the barrel of this wheel"),
    "reading.back of the spokes": sentence("trace the back of the spokes of this wheel"),
    "reading.planned camber": sentence("set the camber more closely"),
    "reading.planned toe": sentence("set the toe more closely"),
    "reading.ride height": sentence("read the height once the springs have settled"),
    "reading.bump limit": sentence("measure bump-stop travel"),
    "reading.camber under side load": sentence("measure the compliance of camber"),
    "reading.toe under side load": sentence("measure the compliance of toe"),
    "reading.hub to the rear under braking": sentence("measure how far braking takes the hub"),
    "reading.hub inboard under side load": sentence(
        "measure how far the hub goes inboard under side load"
    ),
    "reading.steering lock": sentence("read full lock on turn plates"),
    "reading.camber over travel": sentence("read the camber hanging and jacked up"),
    "reading.toe over travel": sentence("read the toe hanging and jacked up"),
    "reading.hub sideways over travel": sentence(
        "read how far the hub moves sideways over its travel"
    ),
    "reading.hub fore and aft over travel": sentence(
        "read how far the hub moves fore and aft over its travel"
    ),
    "reading.gap on this car": sentence(
        "read this gap on the car itself, with the wheel that is on it"
    ),
}

SOURCES: dict[str, Sentence] = {
    "source.survey radius": sentence("survey radius"),
    "source.survey axial": sentence("survey axial"),
    "source.survey clock angle": sentence("survey clock angle"),
    "source.joint places": sentence("joints as read"),
    "source.what earlier jobs taught": sentence("what earlier jobs taught"),
    "source.rolled lip": sentence("rolled lip"),
    "source.section width": sentence("section width"),
    "source.overall diameter": sentence("overall diameter"),
    "source.shoulder drop": sentence("shoulder drop"),
    "source.tread width": sentence("tread width"),
    "source.rim flange": sentence("rim flange"),
    "source.wheel offset": sentence("wheel offset"),
    "source.wheel width": sentence("wheel width"),
    "source.barrel": sentence("barrel"),
    "source.back of the spokes": sentence("back of the spokes"),
    "source.planned camber": sentence("planned camber"),
    "source.planned toe": sentence("planned toe"),
    "source.ride height": sentence("ride height"),
    "source.bump limit": sentence("bump limit"),
    "source.camber under side load": sentence("compliance of camber"),
    "source.toe under side load": sentence("compliance of toe"),
    "source.hub inboard under side load": sentence("compliance of the hub, inboard"),
    "source.hub to the rear under braking": sentence("compliance of the hub, to the rear"),
    "source.steering lock": sentence("full lock"),
    "source.camber over travel": sentence("camber over travel"),
    "source.toe over travel": sentence("toe over travel"),
    "source.hub sideways over travel": sentence("hub sideways over travel"),
    "source.hub fore and aft over travel": sentence("hub fore and aft over travel"),
    "source.gap reading": sentence("gap reading"),
    "source.height as read": sentence("height as read"),
    "source.present tyre": sentence("present tyre"),
    "source.from car to car": sentence("from car to car"),
    "source.share": sentence("{source} {part_mm}", part_mm=mm(1)),
    "source.most-of-it": sentence(
        "{sigma_mm} of uncertainty, most of it: {sources}", sigma_mm=mm(1)
    ),
    "chance.touch": sentence("{touch_share}", touch_share=per_cent_of_chance),
    "source.mostly": sentence("mostly {source}, {part_mm}", part_mm=mm(1)),
}

MESSAGES = FINDINGS | ANSWERS | READINGS | SOURCES
