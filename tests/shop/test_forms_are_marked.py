"""Every word of every form can be translated: labels, help, choices and headings of groups."""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib import import_module
from pkgutil import walk_packages
from typing import Any

import pytest
from django import forms
from django.utils.functional import Promise

from fitment.engine.defaults import SHOULDERS
from fitment.engine.uncertainty.compliance import COMPLIANCES
from fitment.models.wheels import SHOULDER_CHOICES
from fitment.text.labels import _MARKED, BUSH_WORDS, JOINT_WORDS

APPS = ("shop", "alignment", "fitment")
#: Names of languages and papers, which are the same for every reader.
SAME_FOR_ALL = {"Deutsch", "British English", "A4", "Letter"}
#: Fields whose label is written for its reader when the form is made.
LABELLED_WHEN_MADE = {
    "AuthoriseForm": {"name", "signed_warning", "agree"},
    "LanguageForm": {"language"},
    "SignInForm": {"username"},
}


def all_forms() -> list[type[forms.BaseForm]]:
    for app in APPS:
        package = import_module(app)
        for module in walk_packages(package.__path__, f"{app}."):
            if ".migrations" not in module.name:
                import_module(module.name)
    own = {one for one in heirs(forms.BaseForm) if one.__module__.partition(".")[0] in APPS}
    return sorted(own, key=lambda one: (one.__module__, one.__name__))


def heirs(parent: type[Any]) -> Iterator[type[Any]]:
    for child in parent.__subclasses__():
        yield child
        yield from heirs(child)


def unmarked(form: type[forms.BaseForm]) -> Iterator[str]:
    later = {*LABELLED_WHEN_MADE.get(form.__name__, ()), *getattr(form, "LABELS", ())}
    for name, field in getattr(form, "base_fields", {}).items():
        if isinstance(field.widget, forms.HiddenInput):
            continue
        if not isinstance(field.label, Promise) and name not in later:
            yield f"{name}: label {field.label!r}"
        if field.help_text and not isinstance(field.help_text, Promise):
            yield f"{name}: help {field.help_text!r}"
        choices = () if hasattr(field, "queryset") else getattr(field, "choices", ())
        for _, words in choices:
            if isinstance(words, Promise | list) or words in SAME_FOR_ALL:
                continue
            if re.search("[a-z]", words):
                yield f"{name}: choice {words!r}"
    for title, *_ in getattr(form, "fieldsets", None) or ():
        if title and not isinstance(title, Promise):
            yield f"group {title!r}"


@pytest.mark.parametrize("form", all_forms(), ids=lambda form: form.__name__)
def test_every_word_of_a_form_is_marked(form: type[forms.BaseForm]) -> None:
    assert list(unmarked(form)) == []


def test_a_form_that_is_not_marked_is_found() -> None:
    class Plain(forms.Form):
        size = forms.ChoiceField(choices=[("s", "small")], help_text="How large")

    assert len(list(unmarked(Plain))) == 3


def test_words_of_the_engine_are_marked_one_by_one() -> None:
    assert set(_MARKED) == {words for name, words in JOINT_WORDS.items() if name != "knuckle_pivot"}
    assert set(BUSH_WORDS) == set(COMPLIANCES)
    assert [name for name, _ in SHOULDER_CHOICES] == list(SHOULDERS)
