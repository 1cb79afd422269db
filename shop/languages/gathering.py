"""Sentences that people read, gathered from the sources, and catalogues brought in line with them.

In Python a sentence stands as a literal in a call of :data:`CALLS`, in a template in
``{% translate %}`` or ``{% blocktranslate %}``, which Django turns into such calls. A condition
may choose between two literals. What is looked up by a variable has to be marked where it is
written, with ``gettext_noop`` or ``gettext_lazy``.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path

import django
import polib
from django.conf import settings
from django.utils.translation import to_locale
from django.utils.translation.template import templatize

from shop.languages.catalogues import PO, catalogues


@dataclass(frozen=True)
class Message:
    """A sentence as sources have it: the key of a catalogue. ``many`` is its plural, if any."""

    text: str
    context: str = ""
    many: str = ""

    @property
    def key(self) -> tuple[str, str]:
        """What tells messages apart; their plural does not."""
        return (self.context, self.text)


@dataclass(frozen=True)
class Call:
    """Which arguments of a call are its message, and the message's plural and context."""

    text: int = 0
    many: int | None = None
    context: int | None = None


#: Django's calls, their lazy twins apart, those of ``Speech`` and of the catalogues of messages,
#: and the list of cautions.
CALLS: Mapping[str, Call] = {
    "_": Call(),
    "N_": Call(),
    "gettext": Call(),
    "gettext_noop": Call(),
    "ngettext": Call(many=1),
    "pgettext": Call(1, context=0),
    "npgettext": Call(1, many=2, context=0),
    "say": Call(),
    "say_many": Call(many=1),
    "say_in": Call(1, context=0),
    "sentence": Call(),
    "plural": Call(many=1),
    "_caution": Call(),
}
APPS = ("shop", "alignment", "fitment")
IN_TEMPLATES = re.compile(
    r"""\bn?p?gettext\((?:\s*u?(?:'(?:[^'\\]|\\.)*'|"(?:[^"\\]|\\.)*")\s*,?|\s*count)+\)"""
    r"""|\b_\((?:'[^']*'|"[^"]*")\)"""
)


#: Pages that the staff alone reads. Their sentences may wait for a translation and are shown in
#: English until then; all others have to be whole in every language.
STAFF_PAGES = re.compile(
    r"templates/(fitment|alignment)/(?!panels/customer_)"
    r"|fitment/(tryout|surveys|catalogue|fields|learning)/"
    r"|fitment/(clearance|mounting)/\w*(views|forms|guides|guide_records|present_car)\.py"
    r"|alignment/(plans|visits|targets|adjustments|history|fields)/(?!.*sheet\.py)"
)


def gathered(
    root: Path | None = None, reads: Callable[[str], bool] = lambda name: True
) -> dict[tuple[str, str], Message]:
    """Every message of the sources below ``root`` by its key.

    ``reads`` says of a file, by its name below ``root``, whether it is read.
    """
    root = root or Path(settings.BASE_DIR)
    found: dict[tuple[str, str], Message] = {}
    for message in every_message(root, reads):
        known = found.get(message.key)
        if known is None or not known.many:
            found[message.key] = message
    return found


def for_customers() -> dict[tuple[str, str], Message]:
    """The messages that customers may read: all but those of the staff's pages alone."""
    return gathered(reads=lambda name: not STAFF_PAGES.match(name))


def every_message(root: Path, reads: Callable[[str], bool]) -> Iterator[Message]:
    """Each message at each place where it stands."""
    for app in APPS:
        for path in sorted((root / app).rglob("*.py")):
            if "migrations" not in path.parts and reads(path.relative_to(root).as_posix()):
                yield from in_python(path.read_text(encoding="utf-8"))
    for path in sorted((root / "templates").rglob("*.html")):
        if reads(path.relative_to(root).as_posix()):
            yield from in_template(path.read_text(encoding="utf-8"))


def in_python(source: str) -> Iterator[Message]:
    """The messages of a module."""
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        name = getattr(node.func, "id", getattr(node.func, "attr", ""))
        call = CALLS.get(name.removesuffix("_lazy"))
        if call is not None and len(node.args) > call.text:
            yield from _messages(node, call)


def in_template(source: str) -> Iterator[Message]:
    """The messages of a template."""
    for found in IN_TEMPLATES.finditer(templatize(source)):
        yield from in_python(found[0])


def _messages(node: ast.Call, call: Call) -> Iterator[Message]:
    context = "" if call.context is None else next(_literals(node, call.context), "")
    many = "" if call.many is None else next(_literals(node, call.many), "")
    for text in _literals(node, call.text):
        yield Message(text, context, many)


def _literals(node: ast.Call, place: int) -> Iterator[str]:
    if place < len(node.args):
        yield from _texts(node.args[place])


def _texts(value: ast.expr) -> Iterator[str]:
    if isinstance(value, ast.Constant) and isinstance(value.value, str) and value.value:
        yield value.value
    elif isinstance(value, ast.IfExp):
        yield from _texts(value.body)
        yield from _texts(value.orelse)


# ---- Catalogues


@dataclass(frozen=True)
class Change:
    """What bringing a catalogue in line did to it: counts of messages."""

    language: str
    added: int
    dropped: int
    to_translate: int


def update_catalogues(messages: Iterable[Message]) -> list[Change]:
    """Bring every catalogue in line with the sources."""
    known = list(messages)
    return [update_catalogue(path, known) for path in catalogues()]


def update_catalogue(path: Path, messages: Iterable[Message]) -> Change:
    """Keep what is still said, add what is new, drop the rest.

    A new sentence that is close to a dropped one gets its translation, marked ``fuzzy``: it is not
    used before a person has looked at it and taken the mark away. English says what sources say.
    """
    before = polib.pofile(str(path))
    kept = {(entry.msgctxt or "", entry.msgid): entry for entry in before}
    wanted = {message.key: message for message in messages}
    dropped = {key: entry for key, entry in kept.items() if key not in wanted}
    after = polib.POFile(wrapwidth=100)
    after.metadata = before.metadata
    english = language_of(path).startswith("en")
    for key in sorted(wanted, key=lambda key: (key[1], key[0])):
        after.append(_entry(wanted[key], kept.get(key), dropped, english))
    after.save(str(path))
    open_ = sum(not entry.translated() for entry in after)
    return Change(language_of(path), len(wanted.keys() - kept.keys()), len(dropped), open_)


def _entry(
    message: Message,
    before: polib.POEntry | None,
    dropped: Mapping[tuple[str, str], polib.POEntry],
    english: bool,
) -> polib.POEntry:
    entry = polib.POEntry(
        msgid=message.text,
        msgid_plural=message.many,
        msgctxt=message.context or None,
        flags=_flags(message.text),
    )
    if before is None and not english:
        close = get_close_matches(message.text, [text for _, text in dropped], 1, 0.8)
        before = next((e for key, e in dropped.items() if close and key[1] == close[0]), None)
        if before is not None and before.translated():
            entry.flags.append("fuzzy")
    elif before is not None and "fuzzy" in before.flags:
        entry.flags.append("fuzzy")
    if before is not None and bool(before.msgid_plural) == bool(message.many):
        entry.msgstr, entry.msgstr_plural = before.msgstr, before.msgstr_plural
        entry.tcomment = before.tcomment
    elif english and message.many:
        entry.msgstr_plural = {0: message.text, 1: message.many}
    elif english:
        entry.msgstr = message.text
    return entry


def _flags(text: str) -> list[str]:
    """How placeholders are written, for the tools of translators."""
    if re.search(r"%\(\w+\)s", text):
        return ["python-format"]
    return ["python-brace-format"] if re.search(r"\{\w+\}", text) else []


def language_of(path: Path) -> str:
    """The folder's name: ``en_GB``."""
    return path.parent.parent.name


def start_catalogue(code: str) -> Path:
    """An empty catalogue for a language, with the plural forms that Django has for it."""
    locale = to_locale(code)
    own = Path(django.__file__).parent / "conf" / "locale" / locale / PO
    if not own.exists():
        raise ValueError(f"Django has no language “{code}”, so its plural forms are not known.")
    path = Path(settings.LOCALE_PATHS[0]) / locale / PO
    if not path.exists():
        path.parent.mkdir(parents=True)
        empty = polib.POFile(wrapwidth=100)
        empty.metadata = {
            "Project-Id-Version": "Archroom",
            "Language": locale,
            "MIME-Version": "1.0",
            "Content-Type": "text/plain; charset=UTF-8",
            "Content-Transfer-Encoding": "8bit",
            "Plural-Forms": polib.pofile(str(own)).metadata["Plural-Forms"],
        }
        empty.save(str(path))
    return path
