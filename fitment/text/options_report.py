"""The answer to a search file as plain text for a terminal."""

from __future__ import annotations

from alignment.text.render import SHOP, Reader, render
from common.message import message
from common.numerals import for_machines
from fitment.engine.search.model import Option, Options
from fitment.engine.search.search_answer import offered
from fitment.engine.search.search_file import Search
from fitment.engine.search.told import changes_of, tightest_of
from fitment.text.render import sentences
from shop.languages.formatting import capital


def options_text(search: Search, found: Options, reader: Reader = SHOP) -> str:
    """The whole answer; ends without a newline."""
    say_many = reader.speech.say_many
    options = offered(search, found)
    goal = render(message(f"aim.{search.question.aims[0]}"), reader)
    head = say_many(
        "{count} combination looked at.", "{count} combinations looked at.", found.candidates
    )
    lines = [f"{goal}: {head}"]
    if not options:
        lines.append(reader.speech.say("No option clears."))
    planned = next(iter(search.question.corners.values()))
    names = {one.key: one.key for one in search.question.space.wheels}
    names |= {one.key: one.key for one in search.question.space.tyres}
    for number, option in enumerate(options, start=1):
        changes = capital(render(changes_of(option, planned, names), reader))
        lines += ["", f"{number}. {changes}", *(f"   {line}" for line in _about(option, reader))]
    lines += ["", reader.speech.say("Ruled out:")]
    lines += [
        "  " + render(message("ruled-out.counted", count=row.count, why=row.why), reader)
        for row in found.ruled_out
    ]
    return "\n".join(lines)


def _about(option: Option, reader: Reader) -> list[str]:
    say = reader.speech.say
    verdict = capital(render(message(f"verdict.{option.verdict}"), reader))
    lines = [f"{verdict}. {sentences([tightest_of(option)], reader)}"]
    price = say("not known") if option.price is None else for_machines(option.price, 2)
    lines.append(say("Price of the axle: {price}", price=price))
    return lines
