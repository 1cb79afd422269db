"""The check file: the open JSON format in which a room check is asked and answered.

``parse`` and ``loads`` read one and list everything that is wrong with it, ``dump`` writes one.
``parse_corner_survey`` and ``dump_corner_survey`` do the same for the measured part of one
corner. ``answer_dump`` and ``answer_load`` serve the answer.
"""

from fitment.engine.checkfile.answer import answer_dump, answer_load
from fitment.engine.checkfile.parse import Measured, loads, parse, parse_corner_survey
from fitment.engine.checkfile.reader import BadCheckFile, Problem
from fitment.engine.checkfile.write import (
    dump,
    dump_corner,
    dump_corner_survey,
    dump_planned,
    dump_tyre,
    dump_use,
    dump_wheel,
)

__all__ = [
    "BadCheckFile",
    "Measured",
    "Problem",
    "answer_dump",
    "answer_load",
    "dump",
    "dump_corner",
    "dump_corner_survey",
    "dump_planned",
    "dump_tyre",
    "dump_use",
    "dump_wheel",
    "loads",
    "parse",
    "parse_corner_survey",
]
