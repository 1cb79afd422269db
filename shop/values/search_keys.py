"""Texts as a search compares them, and what was typed into a search field as terms.

A record keeps one key: its texts in small letters without accents, marks and blanks inside what
belongs together, each piece apart from the next by a blank. A search looks for pieces within
keys, so that every database finds the same.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from shop.values.contact_keys import plate_key, telephone_key

#: Letters with a stroke or joined ones, which no decomposition takes apart.
_PLAIN = str.maketrans(
    {
        "ø": "o",
        "ł": "l",
        "đ": "d",
        "ð": "d",
        "þ": "th",
        "æ": "ae",
        "œ": "oe",
        "ı": "i",
        "ß": "ss",
        "×": "x",
    }
)
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})
_SHORT_UMLAUTS = (("ae", "a"), ("oe", "o"), ("ue", "u"))
#: Widths, height and rim of a tyre: ``245/40 ZR18``, ``245 40 18``, ``2454018``.
_SIZE = re.compile(
    r"(?<!\d)([1-4]\d[05])\s*[/ ]?\s*([2-9][05])\s*[/ ]?\s*z?r?f?\s*(1[0-9]|2[0-6])(?!\d)"
)
_NUMBER = re.compile(r"([^\W\d_]?)0*(\d{1,8})(?:-\d{1,3})?")
_TELEPHONE_WORD = re.compile(r"[-+()/.\d]*\d[-+()/.\d]*")
#: Terms that one search may have; more of them find nothing.
MOST_TERMS = 20


class KeyKind(Enum):
    """How a text of a record is looked for."""

    WORDS = "words"  # word by word
    WHOLE = "whole"  # the same, and as one piece: addresses of mail, part numbers, VINs
    PLATE = "plate"
    TELEPHONE = "telephone"
    NUMBER = "number"  # of an order: with its letter and zeros, and without the zeros
    SIZE = "size"  # of a tyre: as written, and by width, height and rim


def folded(text: str) -> str:
    """Small letters without accents: ``Müller`` and ``MULLER`` are ``muller``."""
    apart = unicodedata.normalize("NFKD", text.casefold().translate(_PLAIN))
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


def squeezed(text: str) -> str:
    """Letters and digits alone: ``M-AB 123`` is ``mab123``."""
    return "".join(letter for letter in folded(text) if letter.isalnum())


def spellings(text: str) -> set[str]:
    """A text folded, with an umlaut as one letter and as two, however it was written."""
    one = folded(text)
    two = folded(unicodedata.normalize("NFC", text.casefold()).translate(_UMLAUTS))
    short = one
    for pair, letter in _SHORT_UMLAUTS:
        short = short.replace(pair, letter)
    return {one, two, short}


def _words(text: str) -> set[str]:
    return {squeezed(word) for spelling in spellings(text) for word in spelling.split()}


def size_keys(text: str) -> set[str]:
    """Width, height and rim of each tyre size in a text, ``2454018``."""
    return {"".join(found.groups()) for found in _SIZE.finditer(folded(text))}


def number_pieces(text: str) -> tuple[str, int] | None:
    """Letter and number of an order: ``W0013``, ``w13``, ``13`` and its quote ``W0013-2``.

    None where the text is no such number. The letter is empty where none was typed.
    """
    found = _NUMBER.fullmatch(folded(text.strip()))
    return (found.group(1), int(found.group(2))) if found else None


def _pieces(kind: KeyKind, text: str) -> set[str]:
    match kind:
        case KeyKind.WORDS:
            return _words(text)
        case KeyKind.WHOLE:
            return _words(text) | {squeezed(text)}
        case KeyKind.PLATE:
            return _words(text) | {squeezed(text), plate_key(text).casefold()}
        case KeyKind.TELEPHONE:
            return {squeezed(text), telephone_key(text)}
        case KeyKind.NUMBER:
            number = number_pieces(text)
            short = f"{number[0]}{number[1]}" if number else ""
            return _words(text) | {short}
        case KeyKind.SIZE:
            return _words(text) | size_keys(text)


def key_of(texts: Iterable[tuple[KeyKind, str]]) -> str:
    """The key of a record: its pieces in order, each once; empty where there is no text.

    A blank stands before and behind each, so that a whole piece can be looked for, too.
    """
    pieces: set[str] = set()
    for kind, text in texts:
        pieces |= _pieces(kind, text)
    return f" {' '.join(sorted(pieces - {''}))} " if pieces - {""} else ""


@dataclass(frozen=True)
class Term:
    """What one typed word, or several that belong together, stand for.

    A record holds the term if it holds one of ``any_of``, or, where there are ``each``, all of
    those.
    """

    any_of: tuple[str, ...]
    each: tuple[str, ...] = ()


def terms_of(typed: str) -> list[Term] | None:
    """What a record must hold to be found; every term, in any order.

    Words of digits in a row are one telephone number, or words by themselves unless a plus or a
    zero begins them. No term at all
    (nothing typed) is an empty list; None is a text that nothing holds: marks alone, or more
    than MOST_TERMS terms.
    """
    text = folded(typed)
    terms: list[Term] = []
    if found := _SIZE.search(text):
        size = "".join(found.groups())
        terms.append(Term((size, *_unlike(size, telephone_key(found.group())))))
        text = f"{text[: found.start()]} {text[found.end() :]}"
    run: list[str] = []
    for word in [*text.split(), ""]:
        if word and _TELEPHONE_WORD.fullmatch(word):
            run.append(word)
            continue
        if run:
            terms.append(_digits(run))
            run = []
        if piece := squeezed(word):
            number = _NUMBER.fullmatch(word)
            # A quote's number is found by that of its order.
            quote = f" {number[1]}{int(number[2])} " if number and "-" in word else ""
            terms.append(Term((piece, *_unlike(piece, quote))))
    once = list(dict.fromkeys(terms))
    if (typed.strip() and not once) or len(once) > MOST_TERMS:
        return None
    return once


def _digits(run: list[str]) -> Term:
    together = " ".join(run)
    whole = squeezed(together)
    if len(run) == 1:
        return Term((whole, *_unlike(whole, telephone_key(together))))
    if together.startswith(("+", "0")):
        return Term((telephone_key(together) or whole, *_unlike(telephone_key(together), whole)))
    each = tuple(dict.fromkeys(squeezed(word) for word in run))
    return Term((whole, *_unlike(whole, telephone_key(together))), each)


def _unlike(piece: str, other: str) -> tuple[str, ...]:
    return (other,) if other and other != piece else ()
