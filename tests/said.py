"""Every sentence that is said to a customer anywhere: what the catalogues have to hold.

Sentences stand as literals in calls of ``say`` and in ``{% say "…" %}`` of templates, and in the
lists below, from which they are said by name.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from alignment.models import Quantity
from alignment.models.targets import TargetKind
from alignment.text.labels import ADJUSTER_LABELS, MEANS
from common.corners import CORNER_NAMES
from common.verdicts import OUTCOMES, VERDICTS
from fitment.engine import words as engine_words
from fitment.engine.drawing import captions
from fitment.engine.mounting.facts import SEATS
from fitment.engine.mounting.law import PRACTICE, USUAL
from fitment.engine.mounting.rule import NOT_ON_RECORD
from fitment.mounting import gate as mounting_gate
from fitment.text import labels as fitment_words
from fitment.text.check_text import _ALSO
from shop.customer_page.views import WORDS
from shop.models import Authorisation, Axle, Corner, OrderKind, PartAxle, PartKind, State, Use
from shop.models.work import Position, Tried
from shop.orders.services.cautions import CAUTIONS, CUSTOMER

ROOT = Path(__file__).resolve().parent.parent
IN_TEMPLATES = re.compile(r"""{%\s*say\s+(?:"([^"]*)"|'([^']*)')""")


def said() -> set[str]:
    return {*_in_code(), *_in_templates(), *_by_name()}


def _in_code() -> Iterator[str]:
    for app in ("shop", "alignment", "fitment"):
        for file in (ROOT / app).rglob("*.py"):
            for node in ast.walk(ast.parse(file.read_text())):
                if isinstance(node, ast.Call) and _is_say(node.func):
                    yield from _literals(node.args[0])


def _is_say(function: ast.expr) -> bool:
    if isinstance(function, ast.Name):
        return function.id == "say"
    return isinstance(function, ast.Attribute) and function.attr == "say"


def _literals(argument: ast.expr) -> Iterator[str]:
    if isinstance(argument, ast.Constant) and isinstance(argument.value, str):
        yield argument.value
    elif isinstance(argument, ast.IfExp):
        yield from _literals(argument.body)
        yield from _literals(argument.orelse)


def _in_templates() -> Iterator[str]:
    for file in (ROOT / "templates").rglob("*.html"):
        for double, single in IN_TEMPLATES.findall(file.read_text()):
            yield double or single


#: Calls whose literals are said to customers, and which of their arguments: None for all.
MOUNTING_CALLS = {
    "rule_of": (0, 1, 2),
    "judged": (1,),
    "unknown": None,
    "absent": (0,),
}


def _mounting() -> Iterator[str]:
    """Rules, sentences, sources and what is missing, where mounting checks write them."""
    for file in (ROOT / "fitment/engine/mounting").glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text())):
            if not isinstance(node, ast.Call):
                continue
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            if name not in MOUNTING_CALLS:
                continue
            places = MOUNTING_CALLS[name]
            for place, argument in enumerate(node.args):
                if places is None or place in places:
                    yield from _literals(argument)
            if name == "unknown":
                for keyword in node.keywords:
                    if keyword.arg == "sentence":
                        yield from _literals(keyword.value)
            elif name == "judged" and isinstance(node.args[1], ast.Name):
                yield from _named(file, node.args[1].id)
    yield NOT_ON_RECORD
    yield from SEATS.values()
    yield PRACTICE
    yield from (figure.source for figure in USUAL.values())


def _named(file: Path, name: str) -> Iterator[str]:
    """Literals that a name is given in a file."""
    for node in ast.walk(ast.parse(file.read_text())):
        if isinstance(node, ast.Assign) and any(
            getattr(target, "id", "") == name for target in node.targets
        ):
            yield from _literals(node.value)


def _refusals() -> Iterator[str]:
    """Why a signature was not taken, which customers read on their page."""
    tree = ast.parse((ROOT / "shop/money/services.py").read_text())
    for function in tree.body:
        if isinstance(function, ast.FunctionDef) and function.name == "quote_authorise":
            for node in ast.walk(function):
                if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Refused":
                    yield from _literals(node.args[0])


def _by_name() -> Iterator[str]:
    yield from _refusals()
    yield from _mounting()
    yield from map(str, OUTCOMES)
    yield from (caution.text for caution in CAUTIONS if CUSTOMER in caution.readers)
    for labels in (
        PartAxle,
        Authorisation.Via,
        Corner,
        OrderKind,
        PartKind,
        Axle,
        Position,
        Quantity,
        State,
        TargetKind,
        Use,
    ):
        yield from (str(label) for label in labels.labels)
    yield from (str(label).lower() for label in Tried.labels)
    yield from WORDS.values()
    yield from (read for _, _, read in MEANS)
    yield from (label for label, _ in ADJUSTER_LABELS.values())
    yield from map(str, VERDICTS)
    yield from ("nearer", "farther", captions.ON_THE_CAR_DASHED)
    yield from ("out of reach", "overlap", "front", "rear", "thrust angle", "setback")
    yield from CORNER_NAMES.values()
    yield from engine_words.READINGS.values()
    yield engine_words.SAME_CAR_READING
    yield from _ALSO.values()
    for words in engine_words.ADJUSTER_WORDS.values():
        yield from (words.name, words.given_by)
    yield from LEGENDS
    yield from ("{length} into bump", "{length} into droop")
    yield from ("{angle} of lock inward", "{angle} of lock outward")
    yield from ("Before", "After", "Latest", "camber", "toe")
    yield from UNCOVERED
    yield from (mounting_gate.OUT_OF_DATE, mounting_gate.NOT_CHECKED)
    yield from (*fitment_words.MEANS_WORDS.values(), *fitment_words.KIND_WORDS.values())
    yield fitment_words.adjuster_words("rods_mm")
    yield "Numbers are gaps in {unit}, the smallest over all travel and lock."


#: What a survey leaves open, as fitment.engine.minimum.coverage and fitment.engine.check write it.
UNCOVERED = (
    "no body edge outboard from {start}° to {end}° of clock",
    "nothing measured inboard from {start}° to {end}° of clock",
    "nothing measured that the knuckle or strut carries",
    "how far the wheel can go into bump is not known",
    "how this wheel moves over its travel: typical curves stand in for measured ones",
)
#: Lines below drawings of the room, as fitment.engine.drawing.captions writes them.
LEGENDS = (
    "Hatching rising to the right: what the body's edges sweep past the wheel.",
    "A thin line by itself: the path of a single measured point.",
    "Hatching falling to the right: moves with the hub.",
    "A cross: a single measured point that moves with the hub.",
    "Crossed hatching in a dotted line: overlap.",
)
