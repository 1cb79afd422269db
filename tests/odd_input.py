"""Input that no person means: what is sent, and to where."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlencode

from django.test import Client
from django.urls import get_resolver, reverse

from tests.editing import ROWS
from tests.filled_forms import FILLED
from tests.page_forms import forms_of
from tests.routes import TABLE, patterns

ROOT = Path(__file__).resolve().parent.parent
#: Texts that are no number, date, name or document, or one at the end of what there is.
ODD = (
    "\0",
    "a\0b",
    "²",
    "٣",
    "½",
    "-1",
    "0",
    "-0",
    "1e400",
    "1e308",
    "-1e308",
    "1e-320",
    "1e30",
    "NaN",
    "-inf",
    "Infinity",
    "1_000",
    "0x10",
    "1,5,2",
    "9" * 19,
    "9" * 400,
    "9" * 5000,
    "2147483648",
    "9223372036854775808",
    "99999999999.99",
    "0.000000000000001",
    "9999-12-31",
    "0001-01-01",
    "10000-01-01",
    "2026-02-30",
    "0000-00-00",
    "24:61",
    "23:59:60",
    "00:00",
    "[" * 20_000,
    '{"a":' * 3_000,
    '{"version": 1e400}',
    '{"front_camber": ["x"]}',
    "[[[]]]",
    "null",
    '"\\ud800"',
    "x" * 151,
    "x" * 300,
    "x" * 5_000,
    "é" * 256,
    " ",
    "\r\n\r\n",
    "\u200b",
    "\u202eabc",
    "\ufeff",
    "\x01\x7f",
    "🦓" * 90,
    "' OR 1=1 --",
    "<script>alert(1)</script>",
    "{{ 7|add:7 }}",
    "{name} %s %(a)d",
    "../../etc/hosts",
    "rod:",
    "rod:upper",
    "more0",
    "on",
    "1 2 3",
    "1 2\n3 4 5",
    "1;2;3\n1;2",
    "a = 1\na = 2",
    "°'\"",
    "-1° 99'",
    "5 parsec",
    "1/0",
    "225/40R18",
    "0/0R0",
    "999/999R999",
    "M14×1.5",
    "M0×0",
    "1/2-0",
)
#: Names that pages read from an address, gathered from the source.
ASKED = re.compile(r'GET\.get(?:list)?\(\s*"(\w+)"|GET\[\s*"(\w+)"|asked\.get\("(\w+)"')


@dataclass(frozen=True)
class Sent:
    """One input: by whom, how, where to, and with what."""

    who: str
    method: str
    url: str
    data: dict[str, Any] = field(default_factory=dict)

    def __str__(self) -> str:
        said = {name: repr(value)[:60] for name, value in self.data.items()}
        return f"{self.method} {self.url[:200]} as {self.who}: {said}"


@cache
def asked_names() -> tuple[str, ...]:
    """Every name that the source reads from an address."""
    found = {"page", "field", "axle", "wheel", "tyre", "camber", "toe", "spacer", "use"}
    for app in ("shop", "alignment", "fitment"):
        for path in (ROOT / app).rglob("*.py"):
            for match in ASKED.findall(path.read_text(encoding="utf-8")):
                found |= {name for name in match if name}
    return tuple(sorted(found))


def _parts_odd(name: str, rng: random.Random) -> str | None:
    """The route with an odd text for one of its parts; None where only numbers fit."""
    parts = dict(TABLE[name].parts())
    entry = next(one for one in patterns(get_resolver()) if one.name == name)
    converters = entry.pattern.converters
    key = rng.choice(sorted(parts)) if parts else None
    if key is None or key not in converters:
        return None
    if "Int" in type(converters[key]).__name__:
        parts[key] = rng.choice((0, 2**31, 2**63, 10**30, int("9" * 300)))
        return reverse(name, kwargs=parts)
    mark = "oddpart"
    path = reverse(name, kwargs={**parts, key: mark if key != "kind" else parts[key]})
    return path.replace(mark, quote(rng.choice(ODD)[:200].replace("/", "_"), safe=""))


def _query_odd(url: str, rng: random.Random) -> str:
    names = rng.sample(asked_names(), k=rng.randint(1, 3))
    query = urlencode([(name, rng.choice(ODD)[:2_000]) for name in names])
    return f"{url}{'&' if '?' in url else '?'}{query}"


def _form_odd(data: dict[str, Any], rng: random.Random) -> dict[str, Any]:
    """What the page's form sends, with odd texts in one to four of its fields."""
    if not data:
        return {name: rng.choice(ODD) for name in rng.sample(asked_names(), k=2)}
    sent = dict(data)
    for name in rng.sample(sorted(sent), k=min(len(sent), rng.choice((1, 1, 1, 2, 4)))):
        kind = rng.random()
        if kind < 0.08:
            del sent[name]
        elif kind < 0.16:
            sent[name] = [rng.choice(ODD), rng.choice(ODD)]
        else:
            sent[name] = rng.choice(ODD)
    return sent


def odd_inputs(
    name: str, cast: dict[str, Client], rng: random.Random, wanted: int
) -> Iterator[Sent]:
    """Inputs for one route, by people who may come in, and now and then by one who may not."""
    url = reverse(name, kwargs=ROWS.get(name, TABLE[name].parts)())
    page = cast["manager"].get(url)
    is_page = page.status_code == 200 and "html" in page.headers.get("Content-Type", "")
    bases = [form.all_data() for form in forms_of(page, url)] if is_page else []
    where = url
    if name in FILLED and rng.random() < 0.7:
        filled = FILLED[name]()
        where = filled.url
        page = cast["manager"].get(filled.page if filled.page not in ("", "-") else where)
        is_page = page.status_code == 200 and "html" in page.headers.get("Content-Type", "")
        forms = forms_of(page, where.partition("?")[0]) if is_page else []
        bases = [{**(forms[0].all_data() if forms else {}), **filled.data}]
    for _ in range(wanted):
        who = rng.choice(("manager", "manager", "writer", "technician", "stranger"))
        kind = rng.random()
        if kind < 0.12 and (odd := _parts_odd(name, rng)):
            yield Sent(who, rng.choice(("get", "post")), odd)
        elif kind < 0.4:
            yield Sent(who, "get", _query_odd(where, rng))
        else:
            data = _form_odd(rng.choice(bases) if bases else {}, rng)
            target = where if kind < 0.9 else _query_odd(where, rng)
            yield Sent(who, "post", target, data)
