"""Every code that pure code tells has one sentence, with the parameters that it is told with."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings

from alignment.text.question_messages import either, moment
from alignment.text.render import Reader, Sentence, catalogue, commas, semicolons
from fitment.engine.mounting.law import PRESETS, USUAL
from fitment.text.messages.mounting import OFFERED_SOURCES
from tests.fitment.finding_forms import name_of, readers

ROOT = Path(settings.BASE_DIR)
SENTENCES = dict(catalogue())
PLACEHOLDER = re.compile(r"\{(\w+)\}")
PURE = ("common", "alignment/geometry", "fitment/engine")
TELLING = (*PURE, "alignment", "fitment")
#: Parameters that go into the form of another one.
BESIDE = {"sigma_mm", "needed_mm", "places"}
#: Calls that make messages of a code: the start of the code, by the place of their argument.
SHORT_CALLS = {
    "rule_of": "rule.",
    "source_of": "source-of.",
    "absent": "missing.",
}
LETTER = re.compile(r"[^\W\d_]")


@dataclass(frozen=True)
class Told:
    """A call that makes a message: where, its code ("*" for what is not written there), params.

    ``instead`` are the codes of the same call for other cases, which share its parameters.
    """

    where: str
    code: str
    params: frozenset[str] | None
    instead: tuple[str, ...] = ()


def calls() -> Iterator[Told]:
    paths = {path for root in TELLING for path in (ROOT / root).rglob("*.py")}
    for path in sorted(paths):
        if "migrations" not in path.parts:
            yield from _calls_of(path)


def _calls_of(path: Path) -> Iterator[Told]:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if not isinstance(node, ast.Call) or not node.args:
            continue
        name = getattr(node.func, "id", getattr(node.func, "attr", ""))
        where = f"{path.relative_to(ROOT)}:{node.lineno}"
        named = {keyword.arg for keyword in node.keywords}
        params = None if None in named else frozenset(filter(None, named))
        if name == "message":
            codes = tuple(_codes(node.args[0]))
            yield from (Told(where, code, params, codes) for code in codes)
        elif name == "judged" and len(node.args) > 1:
            codes = tuple(_codes(node.args[1]))
            yield from (Told(where, code, params, codes) for code in codes)
        elif name == "unknown":
            for missing in node.args:
                yield from (Told(where, f"missing.{one}", None) for one in _codes(missing))
        elif name in SHORT_CALLS:
            start = SHORT_CALLS[name]
            yield from (Told(where, start + code, None) for code in _codes(node.args[0]))


def _codes(value: ast.expr) -> Iterator[str]:
    if isinstance(value, ast.Constant) and isinstance(value.value, str):
        yield value.value
    elif isinstance(value, ast.IfExp):
        yield from _codes(value.body)
        yield from _codes(value.orelse)
    elif isinstance(value, ast.JoinedStr):
        yield "".join(str(v.value) if isinstance(v, ast.Constant) else "*" for v in value.values)


def matching(code: str) -> list[str]:
    if "*" not in code:
        return [code] if code in SENTENCES else []
    form = re.compile(".+".join(map(re.escape, code.split("*"))))
    return [known for known in SENTENCES if form.fullmatch(known)]


def placeholders(code: str) -> set[str]:
    entry = SENTENCES[code]
    return set(PLACEHOLDER.findall(entry.text)) | set(PLACEHOLDER.findall(entry.many))


CALLS = list(calls())


def test_there_are_calls_to_look_at() -> None:
    assert len(CALLS) > 300


def test_every_code_that_is_said_has_a_sentence() -> None:
    assert [told for told in CALLS if not matching(told.code)] == []


def test_every_sentence_gets_what_stands_in_its_braces() -> None:
    wrong = []
    for told in CALLS:
        if told.params is None or "*" in told.code:
            continue
        entry, wanted = SENTENCES[told.code], placeholders(told.code)
        unwritten = set(entry.forms) - told.params
        used = set().union(*map(placeholders, told.instead))
        if not wanted <= told.params | unwritten or not told.params <= used | BESIDE:
            wrong.append((told, sorted(wanted)))
    assert wrong == []


def test_every_form_belongs_to_a_placeholder() -> None:
    for code, entry in SENTENCES.items():
        assert set(entry.forms) <= set(PLACEHOLDER.findall(entry.text)), code


def test_nearly_every_sentence_is_said_somewhere() -> None:
    """A sentence that no code tells any more goes; adjusters and the like are told by name."""
    told = {known for one in CALLS for known in matching(one.code)}
    told |= {f"asks.{code.removeprefix('rule.')}" for code in told if code.startswith("rule.")}
    assert sorted(set(SENTENCES) - told - _told_by_value()) == []


def _told_by_value() -> set[str]:
    """Codes that stand in the sources as values, whole or without their first part."""
    texts = {
        node.value
        for root in TELLING
        for path in (ROOT / root).rglob("*.py")
        if "messages" not in path.parts
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    return {code for code in SENTENCES if code in texts or code.partition(".")[2] in texts}


def sample(name: str, entry: Sentence) -> Any:
    """A value that a parameter of this name may have."""
    if entry.forms.get(name) in (commas, semicolons, either):
        return ("one", "another")
    if entry.forms.get(name) is moment:
        return "2026-03-01T09:30:00+00:00"
    if re.search(r"_(mm|deg|share|percent|in|kg|kmh|g)$", name) or name in entry.forms:
        return 12.5 if entry.forms.get(name) is not None or "_" in name else "some name"
    return 2 if name == "count" else "some name"


@pytest.mark.parametrize("reader", readers(), ids=name_of)
def test_every_sentence_can_be_said_to_every_reader(reader: Reader) -> None:
    for code, entry in SENTENCES.items():
        names = PLACEHOLDER.findall(entry.text)
        params = {name: sample(name, entry) for name in names}
        params |= {"sigma_mm": 2.5, "needed_mm": 25.0, "places": 1}
        try:
            said = entry.render(params, reader)
        except AttributeError:  # a form for names: capital, and the like
            said = entry.render(params | dict.fromkeys(entry.forms, "some name"), reader)
        assert said, code
        assert "{" not in said, code


def test_no_text_is_read_back() -> None:
    """Whoever tells a message knows its code; nothing looks for words in a sentence."""
    texts = [path for app in ("fitment", "alignment") for path in (ROOT / app).rglob("*.py")]
    for path in texts:
        if "text" in path.parts or path.stem == "text":
            tree = ast.parse(path.read_text("utf-8"))
            imported = {
                alias.name
                for node in ast.walk(tree)
                if isinstance(node, ast.Import)
                for alias in node.names
            }
            assert "re" not in imported, path


def test_pure_code_has_no_sentence_of_a_finding() -> None:
    """What the engine answers is codes: no text of the catalogue stands in the pure packages."""
    phrases = {entry.text for entry in SENTENCES.values() if len(LETTER.findall(entry.text)) > 24}
    for root in PURE:
        for path in (ROOT / root).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text("utf-8"))):
                if isinstance(node, ast.Constant) and isinstance(node.value, str):
                    assert node.value not in phrases, f"{path}:{node.lineno}"


def test_every_source_that_the_program_offers_is_marked_for_translation() -> None:
    offered = {figure.source for figure in USUAL.values()}
    offered |= {preset.name for preset in PRESETS.values()}
    assert set(OFFERED_SOURCES) == offered
