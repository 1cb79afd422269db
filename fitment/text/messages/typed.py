"""Sentences for wheels and tyres that were typed and could not be read: what to type instead."""

from __future__ import annotations

from alignment.text.render import Sentence, sentence, short_number

WHEELS: dict[str, Sentence] = {
    "typed-wheel.empty": sentence("Enter a wheel, for example 9.5x18 ET35."),
    "typed-wheel.long": sentence("This is too long for a wheel. Enter for example 9.5x18 ET35."),
    "typed-wheel.no-size": sentence(
        "“{typed}” names no wheel size. Enter width, diameter and offset: 9.5x18 ET35."
    ),
    "typed-wheel.two-widths": sentence(
        "“{typed}” marks both figures as the width. Enter width, diameter and offset: 9.5x18 ET35."
    ),
    "typed-wheel.no-offset": sentence(
        "“{typed}” names no offset. Add the ET from the back of the wheel: {typed} ET35."
    ),
    "typed-wheel.bare-offset": sentence(
        "What is {odd} in “{typed}”? Enter ET{odd} if it is the offset."
    ),
    "typed-wheel.backspacing": sentence(
        "“{typed}” states backspacing. Enter the offset (ET) in mm: it is the backspacing less "
        "half of the wheel's overall width."
    ),
    "typed-wheel.odd": sentence(
        "“{odd}” in “{typed}” was not understood. Enter for example 9.5x18 ET35 5x116."
    ),
    "typed-wheel.no-such-diameter": sentence(
        "No wheel has a diameter of {value} in; it lies between {low} and {high}.",
        value=short_number(),
        low=short_number(),
        high=short_number(),
    ),
    "typed-wheel.no-such-width": sentence(
        "No wheel has a width of {value} in; it lies between {low} and {high}.",
        value=short_number(),
        low=short_number(),
        high=short_number(),
    ),
    "typed-wheel.no-such-offset": sentence(
        "No wheel has an offset of {value} mm; it lies between {low} and {high}.",
        value=short_number(),
        low=short_number(),
        high=short_number(),
    ),
}

TYRES: dict[str, Sentence] = {
    "typed-tyre.empty": sentence("Enter a tyre size, for example 245/40R18 97Y."),
    "typed-tyre.long": sentence("This is too long for a tyre. Enter for example 245/40R18 97Y."),
    "typed-tyre.no-size": sentence(
        "“{typed}” is no tyre size. Enter it as on the sidewall: 245/40R18 97Y."
    ),
    "typed-tyre.no-such-size": sentence(
        "No tyre has the size {size}. Compare the figures with the sidewall."
    ),
    "typed-tyre.not-radial": sentence(
        "“{typed}” is not marked as a radial tyre, and others have other dimensions. If the "
        "sidewall shows an R, enter it: 245/40R18."
    ),
    "typed-tyre.temporary": sentence(
        "“{typed}” is a temporary spare (T). Enter the size of a normal tyre: 245/40R18."
    ),
    "typed-tyre.trailer": sentence(
        "“{typed}” is a trailer tyre (ST). Enter the size of a tyre for a car: 245/40R18."
    ),
    "typed-tyre.flotation": sentence(
        "“{typed}” is a flotation size in inches and does not give the dimensions. Enter the "
        "nearest metric size, and measure section width and diameter of the tyre."
    ),
    "typed-tyre.inch": sentence(
        "“{typed}” is a size in inches without an aspect ratio and does not give the dimensions. "
        "Enter the nearest metric size, and measure section width and diameter of the tyre."
    ),
    "typed-tyre.no-aspect": sentence(
        "“{typed}” has no aspect ratio and does not give the dimensions. Enter the nearest size "
        "that has one, often {like}, and measure section width and diameter of the tyre."
    ),
    "typed-tyre.metric-rim": sentence(
        "“{typed}” has a rim diameter in mm. Its wheels take no other tyres, and its dimensions "
        "are not known here."
    ),
    "typed-tyre.no-such-load": sentence(
        "{index} is no load index of a car tyre; it lies between {low} and {high}.",
        index=short_number(),
        low=short_number(),
        high=short_number(),
    ),
    "typed-tyre.no-such-speed": sentence("“{symbol}” is no speed symbol. Known are {known}."),
    "typed-tyre.odd": sentence(
        "“{odd}” in “{typed}” was not understood. After the size stand load index and speed "
        "symbol together, and marks as XL, C or M+S: 245/40R18 97Y XL."
    ),
}

MESSAGES: dict[str, Sentence] = {**WHEELS, **TYRES}
