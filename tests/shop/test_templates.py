"""All templates compile, and none holds code or styles that the content policy would drop."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django import forms
from django.template.loader import get_template, render_to_string

FOLDER = Path(__file__).resolve().parents[2] / "templates"
NAMES = sorted(str(path.relative_to(FOLDER)) for path in FOLDER.rglob("*.html"))


@pytest.mark.parametrize("name", NAMES)
def test_it_compiles(name: str) -> None:
    get_template(name)


@pytest.mark.parametrize("name", NAMES)
def test_it_keeps_code_and_styles_in_files(name: str) -> None:
    text = (FOLDER / name).read_text(encoding="utf-8")
    assert not re.search(r"\s(style|on[a-z]+|hx-on[:\w-]*|hx-vals)\s*=", text)
    assert not re.search(r"<script(?![^>]*\bsrc=)", text)
    assert "<style" not in text
    assert "javascript:" not in text


class Sample(forms.Form):
    name = forms.CharField(help_text="As the papers have it.")
    kind = forms.ChoiceField(choices=[("a", "A"), ("b", "B")], widget=forms.RadioSelect)
    ready = forms.BooleanField(required=False)
    secret = forms.CharField(widget=forms.HiddenInput, required=False)
    last = forms.CharField(required=False)
    fieldsets = [("Who", ["name", "kind"])]


def test_any_form_ties_its_errors_to_its_fields_and_sums_them_up() -> None:
    page = render_to_string("shared/form.html", {"form": Sample({}), "submit_label": "Keep it"})
    assert 'aria-describedby="id_name_helptext id_name_error"' in page
    assert 'id="id_name_error"' in page
    assert 'aria-describedby="id_kind_error"' in page
    assert 'href="#id_name"' in page
    assert "Correct the 2 fields below" in page
    assert "<legend>Who</legend>" in page
    assert page.count('name="last"') == 1
    assert page.count('name="secret"') == 1
    assert "Keep it" in page


def test_a_fresh_form_shows_no_errors() -> None:
    page = render_to_string("shared/form.html", {"form": Sample()})
    assert "wrong" not in page
    assert 'type="submit">Save<' in page
