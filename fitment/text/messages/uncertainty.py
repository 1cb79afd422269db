"""Sentences for what makes an answer uncertain: its sources, and the reading that cuts each."""

from __future__ import annotations

from alignment.text.render import Sentence, mm, sentence
from fitment.text.forms import per_cent_of_chance

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

MESSAGES = READINGS | SOURCES
