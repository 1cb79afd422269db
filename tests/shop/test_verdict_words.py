"""Verdicts on pages: by the enum's members, never by words typed again."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.template import Context, Template, engines
from django.template.loader import render_to_string

from common.verdicts import GateResult
from shop.site.template_values import Members, NoSuchMember

ROOT = Path(__file__).resolve().parents[2]
WORDS = {str(result) for result in GateResult}
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
MODULES = sorted(
    path
    for package in ("shop", "alignment", "fitment")
    for path in (ROOT / package).rglob("*.py")
    if "migrations" not in path.parts
)
#: The drawing of each word's icon, by its slug.
ICONS = ROOT / "templates/shared/icon.html"
#: Names under which a result is passed on.
CARRIERS = {"verdict", "result", "outcome"}


def typed_in_template(text: str) -> Iterator[str]:
    for tag in re.findall(r"\{[{%].*?[%}]\}", text, re.S):
        # The words shown in place of a result may be any.
        yield from set(re.findall(r'(?<!words=)(?<!translate )"([^"]*)"', tag)) & WORDS


def typed_in_module(source: str) -> Iterator[tuple[int, str]]:
    """Words of results that are compared with, returned, or passed on as a result."""
    for node in ast.walk(ast.parse(source)):
        parts: list[ast.expr] = []
        if isinstance(node, ast.Compare):
            parts = [node.left, *node.comparators]
        elif isinstance(node, ast.Return | ast.keyword) and node.value is not None:
            carries = isinstance(node, ast.Return) or node.arg in CARRIERS
            parts = [node.value] if carries else []
        elif isinstance(node, ast.Dict):
            keys = (getattr(key, "value", None) for key in node.keys)
            parts = [v for key, v in zip(keys, node.values, strict=True) if key in CARRIERS]
        for part in parts:
            members = part.elts if isinstance(part, ast.Tuple | ast.List | ast.Set) else [part]
            if isinstance(part, ast.IfExp):
                members = [part.body, part.orelse]
            for one in members:
                if isinstance(one, ast.Constant) and one.value in WORDS:
                    yield one.lineno, str(one.value)


def test_no_template_types_a_result() -> None:
    found = {path.name: list(typed_in_template(path.read_text())) for path in TEMPLATES}
    found.pop(ICONS.name)
    assert {name: words for name, words in found.items() if words} == {}


def test_no_module_compares_with_a_typed_result() -> None:
    found = [
        (str(path.relative_to(ROOT)), line, word)
        for path in MODULES
        for line, word in typed_in_module(path.read_text())
    ]
    assert found == []


def test_the_two_tests_above_find_what_they_look_for() -> None:
    assert list(typed_in_template('{% if a == "stale" %}{% include b with name="clear" %}')) == [
        "stale",
        "clear",
    ]
    assert list(typed_in_template('{% include b with words="clear" %}')) == []
    for source in (
        'x == "clear"',
        'x in ("clear", y)',
        'f(verdict="clear")',
        '{"verdict": "clear"}',
        'def f():\n return y if x else "clear"',
    ):
        assert [word for _, word in typed_in_module(source)] == ["clear"], source


def test_every_member_that_a_template_names_exists() -> None:
    # {% if %} takes an error for false, so a misspelt member would not be seen on the page.
    named = {
        name for path in TEMPLATES for name in re.findall(r"\bGateResult\.(\w+)", path.read_text())
    }
    assert named
    assert named <= set(GateResult.__members__)


def test_a_misspelt_member_fails_loudly() -> None:
    page: Template = engines["django"].from_string("{{ GateResult.STALE }}").template  # type: ignore[attr-defined]
    assert page.render(Context({"GateResult": Members(GateResult)})) == "stale"
    wrong = engines["django"].from_string("{{ GateResult.STAIL }}").template  # type: ignore[attr-defined]
    with pytest.raises(NoSuchMember, match="GateResult has no member STAIL"):
        wrong.render(Context({"GateResult": Members(GateResult)}))


@pytest.mark.parametrize("result", GateResult)
def test_every_result_has_a_shape_of_its_own(result: GateResult) -> None:
    assert shape_of(result) != shape_of("a word that has none")


def shape_of(word: str) -> str:
    drawn = re.search(r"<(path|circle).*/>", render_to_string("shared/icon.html", {"name": word}))
    assert drawn
    return drawn[0]
