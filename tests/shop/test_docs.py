"""What the documents name exists: variables, make targets, commands, modules."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.core.management import get_commands

ROOT = Path(__file__).resolve().parents[2]
DOCS = ["README.md", "DEVELOPERS.md", "CHANGELOG.md", "docs/threat-model.md"]
TEXTS = {name: (ROOT / name).read_text(encoding="utf-8") for name in DOCS}
SETTINGS = (ROOT / "shop" / "settings.py").read_text(encoding="utf-8")


def test_every_variable_of_the_settings_is_in_the_readme_and_none_is_invented() -> None:
    read = set(re.findall(r'env_\w+\(\s*"(\w+)"', SETTINGS))
    named = set(re.findall(r"`((?:ARCHROOM|DATABASE)_\w+)`", TEXTS["README.md"]))
    named = {name.removesuffix("_FILE") for name in named}
    assert read - named == set()
    assert named - read == set()


@pytest.mark.parametrize("name", DOCS)
def test_commands_that_a_document_names_exist(name: str) -> None:
    known = set(get_commands())
    assert set(re.findall(r"manage\.py (\w+)", TEXTS[name])) - known == set()


@pytest.mark.parametrize("name", DOCS)
def test_make_targets_that_a_document_names_exist(name: str) -> None:
    targets = set(re.findall(r"^([\w-]+):", (ROOT / "Makefile").read_text(), re.MULTILINE))
    assert set(re.findall(r"(?:^ {4}|`)make (\w+)", TEXTS[name], re.MULTILINE)) - targets == set()


@pytest.mark.parametrize("name", DOCS)
def test_files_and_folders_that_a_document_names_exist(name: str) -> None:
    tops = "docs|common|shop|alignment|fitment|templates|static|tests|\\.ci"
    paths = re.findall(rf"`((?:{tops})/[\w./*-]*)`", TEXTS[name])
    missing = [path for path in paths if "*" not in path and not (ROOT / path).exists()]
    assert missing == []


@pytest.mark.parametrize("name", DOCS)
def test_settings_that_a_document_names_exist(name: str) -> None:
    found = re.findall(r"`([A-Z][A-Z_]{4,})`", TEXTS[name])
    named = {word.removesuffix("_FILE") for word in found}
    code = "\n".join(
        path.read_text(encoding="utf-8")
        for top in ("common", "shop", "alignment", "fitment")
        for path in (ROOT / top).rglob("*.py")
    )
    assert [word for word in sorted(named) if word not in code] == []


#: ``NAME`` of, or in, ``path.py``; several names may stand before one path.
NAMES_OF_A_MODULE = re.compile(
    r"((?:`\w+`(?:,\s|\sand\s|\sor\s))*`\w+`)\s(?:of|in)\s`((?:\w+/)+\w+\.py)`"
)


def names_missing(text: str) -> list[str]:
    """Names that a text puts into a module, and that the module does not define."""
    missing = []
    for names, path in NAMES_OF_A_MODULE.findall(text):
        code = (ROOT / path).read_text(encoding="utf-8")
        missing += [
            f"{name} of {path}"
            for name in re.findall(r"`(\w+)`", names)
            if not re.search(rf"^\s*(?:(?:class|def) {name}\b|{name}\s*[:=])", code, re.MULTILINE)
        ]
    return missing


@pytest.mark.parametrize("name", DOCS)
def test_names_that_a_document_puts_into_a_module_are_defined_there(name: str) -> None:
    assert names_missing(TEXTS[name]) == []


def test_a_name_that_a_module_does_not_define_is_found() -> None:
    law = "fitment/engine/mounting/law.py"
    assert len(NAMES_OF_A_MODULE.findall(TEXTS["DEVELOPERS.md"])) > 15
    assert names_missing(f"`FIGURES_ASKED` and\n`ASKED` of\n`{law}`") == [f"ASKED of {law}"]


def test_the_guide_for_developers_is_read_in_ten_minutes() -> None:
    assert len(TEXTS["DEVELOPERS.md"].split()) <= 2400
