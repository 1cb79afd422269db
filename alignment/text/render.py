"""One renderer: messages of the pure packages as sentences, in any language and any units.

A catalogue holds one :class:`Sentence` for each code. How a parameter is written follows from the
unit at the end of its name, unless the sentence states another form for it; a text is a name that
people typed, which a language's glossary may hold.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from common.message import Message
from common.numerals import half_up
from common.units import MM_PER_INCH
from shop.languages import Speech, formatting, speech_of_page, speech_of_shop
from shop.languages.speech import INCHES

#: A value with the reader and all parameters of its message, written.
Form = Callable[[Any, "Reader", Mapping[str, Any]], str]


@dataclass(frozen=True)
class Reader:
    """Who reads: a language with units, and to how many decimals of a millimetre.

    Without a speech of their own it is who reads the page that is being made. Technicians read
    tenths, customers whole millimetres; inches get one decimal more than those, and two at least.
    """

    own: Speech | None = None
    places: int = 1
    is_customer: bool = False

    @property
    def speech(self) -> Speech:
        """Language and units."""
        return self.own or speech_of_page()

    @property
    def decimals(self) -> int:
        """Those of a length in the reader's unit."""
        return max(self.places + 1, 2) if self.speech.lengths == INCHES else self.places

    @property
    def step_mm(self) -> float:
        """The smallest length that is written, mm."""
        unit = MM_PER_INCH if self.speech.lengths == INCHES else 1.0
        return unit * 10.0**-self.decimals

    def steps(self, mm: float) -> int:
        """A length as it is written, in units of its last decimal."""
        length = mm / MM_PER_INCH if self.speech.lengths == INCHES else mm
        return int(half_up(length, self.decimals).scaleb(self.decimals))


#: Whoever of the shop reads a page.
SHOP = Reader()


def on_record() -> Reader:
    """Whoever reads the log: it is written in the shop's own language."""
    return Reader(speech_of_shop())


def customer(speech: Speech) -> Reader:
    """A customer, who reads whole millimetres."""
    return Reader(speech, places=0, is_customer=True)


@dataclass(frozen=True)
class Sentence:
    """The English of one code and how its parameters are written where the unit does not say.

    A form without a parameter of its name writes what the reader alone decides, as a unit.
    ``many`` is the plural, for a parameter ``count``.
    """

    text: str
    forms: Mapping[str, Form] = field(default_factory=dict)
    many: str = ""

    def render(self, params: Mapping[str, Any], reader: Reader) -> str:
        values = {
            name: (self.forms.get(name) or form_of(name))(params.get(name), reader, params)
            for name in (*params, *(name for name in self.forms if name not in params))
        }
        if not self.many:
            return reader.speech.say(self.text, **values)
        del values["count"]
        return reader.speech.say_many(self.text, self.many, params["count"], **values)


def sentence(text: str, **forms: Form) -> Sentence:
    """A sentence with the forms of its parameters."""
    return Sentence(text, forms)


def plural(one: str, many: str, **forms: Form) -> Sentence:
    """A sentence that tells a ``count``."""
    return Sentence(one, forms, many)


_CATALOGUE: dict[str, Sentence] = {}


def register(catalogue: Mapping[str, Sentence]) -> None:
    """Add sentences. Raises ValueError for a code that stands already for something else."""
    for code, entry in catalogue.items():
        if _CATALOGUE.setdefault(code, entry) is not entry:
            raise ValueError(f"two sentences for one code: {code}")


def catalogue() -> Iterator[tuple[str, Sentence]]:
    """Every code with its sentence."""
    return iter(_CATALOGUE.items())


def render(told: Message | str | tuple[Any, ...], reader: Reader = SHOP) -> str:
    """A message for its reader, a name, or several of them as a list.

    Raises KeyError for a code without a sentence.
    """
    if isinstance(told, Message):
        return _CATALOGUE[told.code].render(told.params, reader)
    if isinstance(told, tuple):
        return reader.speech.listed([render(one, reader) for one in told])
    return reader.speech.may_say(told)


# ---- forms


def mm(
    places: int | None = None, *, signed: bool = False, bare: bool = False, never_zero: bool = False
) -> Form:
    """A length from millimetres; ``places`` None: as exactly as the reader reads.

    ``bare`` leaves the unit out, ``never_zero`` writes at least the smallest step.
    """

    def form(value: float | None, reader: Reader, _: Mapping[str, Any]) -> str:
        if value is not None and never_zero:
            value = max(value, reader.step_mm)
        asked = reader.places if places is None else places
        written = reader.speech.bare_length if bare else reader.speech.length
        return written(value, asked, signed=signed)

    return form


def short_mm(value: float | None, reader: Reader, _: Mapping[str, Any]) -> str:
    """A length that was chosen, not worked out, without idle zeros: ``5 mm``, ``0.20 in``."""
    if reader.speech.lengths == INCHES or value is None:
        return reader.speech.length(value, 1)
    return f"{reader.speech.plain(value)} mm"


def changed_mm(value: float | None, reader: Reader, _: Mapping[str, Any]) -> str:
    """A length that a search chose, to the reader's decimals without idle zeros: ``−12.5 mm``."""
    if reader.speech.lengths == INCHES or value is None:
        return reader.speech.length(value, reader.places)
    return f"{formatting.plain(value, reader.places, point=reader.speech.language.point)} mm"


def deg(places: int = 0, *, signed: bool = False) -> Form:
    """An angle that is written in plain degrees for every reader: of the clock, of steering."""

    def form(value: float | None, reader: Reader, _: Mapping[str, Any]) -> str:
        return "–" if value is None else f"{reader.speech.number(value, places, signed=signed)}°"

    return form


def short_deg(value: float | None, reader: Reader, _: Mapping[str, Any]) -> str:
    """An angle that was chosen, without idle zeros: ``0.5°``."""
    return formatting.NOT_READ if value is None else f"{reader.speech.plain(value)}°"


def setting_deg(value: float | None, reader: Reader, _: Mapping[str, Any]) -> str:
    """A camber, caster or toe, as the reader asked for angles: ``−1.63°``, ``−1°38′``."""
    return reader.speech.angle(value)


def short_number(*, signed: bool = False) -> Form:
    """A bare number without idle zeros: ``+2``, ``−0.5``."""

    def form(value: float | None, reader: Reader, _: Mapping[str, Any]) -> str:
        return "–" if value is None else reader.speech.plain(value, signed=signed)

    return form


def number(places: int, *, signed: bool = False) -> Form:
    """A bare number with fixed decimals."""

    def form(value: float | None, reader: Reader, _: Mapping[str, Any]) -> str:
        return reader.speech.number(value, places, signed=signed) if value is not None else "–"

    return form


def plain(value: Any, reader: Reader, params: Mapping[str, Any]) -> str:
    """A number as short as it can be; a name, a message, or several of them, in words."""
    if isinstance(value, Message | str | tuple):
        return render(value, reader)
    return formatting.NOT_READ if value is None else reader.speech.plain(value)


def semicolons(value: tuple[Any, ...], reader: Reader, params: Mapping[str, Any]) -> str:
    """Several phrases, separated so that their own commas do not separate them."""
    return "; ".join(plain(one, reader, params) for one in value)


def commas(value: tuple[Any, ...], reader: Reader, params: Mapping[str, Any]) -> str:
    """Several names or messages with commas between, where "and" would say more."""
    return ", ".join(plain(one, reader, params) for one in value)


def tenths(value: float | None, reader: Reader, _: Mapping[str, Any]) -> str:
    """A bare number to a tenth without idle zeros, beside another that has the unit: ``7``."""
    return formatting.plain(value, 1, point=reader.speech.language.point)


def small(value: Any, reader: Reader, params: Mapping[str, Any]) -> str:
    """A label, or a list of several, inside a sentence: "by top mount inboard"."""
    if isinstance(value, tuple):
        return reader.speech.listed([small(one, reader, params) for one in value])
    return reader.speech.within(plain(value, reader, params))


def capital(value: Any, reader: Reader, params: Mapping[str, Any]) -> str:
    """A name or a message at the head of a sentence."""
    return formatting.capital(plain(value, reader, params))


def unit_of_lengths(_: Any, reader: Reader, __: Mapping[str, Any]) -> str:
    """The word for the reader's unit of lengths, in a sentence."""
    return reader.speech.length_word


def per_cent(places: int = 0, *, signed: bool = False) -> Form:
    """A share of one as ``12 %``."""

    def form(value: float | None, reader: Reader, _: Mapping[str, Any]) -> str:
        if value is None:
            return formatting.NOT_READ
        return f"{reader.speech.number(100 * value, places, signed=signed)} %"

    return form


def percent(places: int | None = None, *, signed: bool = False) -> Form:
    """A figure that is in per cent already."""
    return with_unit("%", places, signed=signed)


def with_unit(unit: str, places: int | None = None, *, signed: bool = False) -> Form:
    """A number with a unit that all readers share; without ``places`` as short as it can be."""

    def form(value: float | None, reader: Reader, _: Mapping[str, Any]) -> str:
        if value is None:
            return formatting.NOT_READ
        if places is None:
            return f"{reader.speech.plain(value, signed=signed)} {unit}"
        return f"{reader.speech.number(value, places, signed=signed)} {unit}"

    return form


def inches(value: float | None, reader: Reader, _: Mapping[str, Any]) -> str:
    """A size of rims, which is counted in inches everywhere; the word is the language's."""
    if value is None:
        return formatting.NOT_READ
    return f"{reader.speech.plain(value)} {reader.speech.say_in('unit', 'in')}"


#: How a parameter is written by the end of its name.
BY_UNIT: tuple[tuple[str, Form], ...] = (
    ("_mm", mm()),
    ("_deg", deg()),
    ("_share", per_cent()),
    ("_percent", percent()),
    ("_in", inches),
    ("_kg", with_unit("kg")),
    ("_kmh", with_unit("km/h")),
    ("_g", with_unit("g")),
)


def form_of(name: str) -> Form:
    """The form of a parameter by its unit."""
    return next((form for end, form in BY_UNIT if name.endswith(end)), plain)
