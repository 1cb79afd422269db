"""The shapes of documents that checks, searches and surveys keep; how older ones become today's
stands in ``upgrades``."""

from __future__ import annotations

from common.stored_json import Schema
from fitment.models.upgrades import answers, drawings, mounting, options
from fitment.models.upgrades.messages import recoded

#: A check file: what a clearance check was asked.
CHECK_INPUTS = Schema("check file")
#: What the engine answered, as ``checkfile.answer_dump`` has it; empty where it could not.
ANSWER = Schema(
    "clearance answer",
    (
        answers.with_hub_effects_and_shift,
        answers.answer_in_messages,
        answers.with_loads_and_what_was_measured,
        recoded,
    ),
)
#: Why the engine could not answer, as a message; empty where it could.
STOPPED = Schema("what stopped a check")
#: Drawings by corner, ``alone`` and ``beside`` the wheel on the car, not lettered yet, and from the
#: ``side``, which checks from before that drawing do without.
DRAWINGS = Schema("drawings of a check", (drawings.drawings_to_letter, recoded))
#: What was tried at corners that do not clear: by corner ``camber_method``, ``found`` and
#: ``ruled_out``, and whether all was looked at, ``complete``.
QUICK_OPTIONS = Schema(
    "options beside a check",
    (
        options.found_as_options,
        options.quick_options_in_messages,
        options.quick_options_renamed,
        options.quick_options_with_ranks,
        recoded,
    ),
)
#: The set-up that a search began from, as the address of the try-out has it.
SEARCH_START = Schema("start of a search")
#: What a search may change, and within which limits.
SEARCH_LIMITS = Schema("limits of a search", (options.limits_renamed,))
#: Options that a search found, as rows of ``tryout.results``.
FOUND_OPTIONS = Schema(
    "options of a search",
    (
        options.rows_with_cautions_apart,
        options.options_in_messages,
        options.options_renamed,
        options.options_with_ranks,
        recoded,
    ),
)
#: What fell in a search: [why as a message, count].
RULED_OUT = Schema("what a search ruled out", (options.ruled_out_in_messages,))
#: What mounting checks used.
MOUNTING_INPUTS = Schema("facts of the mounting", (mounting.clearance_by_its_name,))
#: What mounting checks answered, as ``mounting.rule.result_dump`` has it.
MOUNTING_RESULTS = Schema(
    "results of the mounting", (mounting.mounting_in_messages, mounting.without_bars)
)
#: The measured part of a corner of a check file.
SURVEY = Schema("corner survey")
#: Joints as measured, readings, and how far the fit moved each joint.
JOINT_FIT = Schema("fit of joints")
