"""Quote lines out of the plan: one press adds what is missing, and what no longer matches is told.

Each planned thing has a lasting key (``LineHint.key``). A line that was made for it keeps the key
as its ``source``; a package's line adds its own. Lines without a source were typed by hand.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from django.db import transaction
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext_lazy, override

from shop.extensions.panels import LineHint
from shop.extensions.points import LINE_HINTS
from shop.languages import speech_of_shop
from shop.models import Line, LineKind, Package, ShopSettings, User, WorkOrder
from shop.models.texts import other_languages, own_language
from shop.orders.services.changes import order_moves_wheel
from shop.orders.services.locking import order_lock
from shop.orders.services.log import log_write
from shop.orders.services.rows import lines_of
from shop.site.refusals import NotYours, Refused


@dataclass(frozen=True)
class Gaps:
    """Where lines and plan part: planned things without a line, (line, planned) of another
    quantity, and lines whose thing is no longer planned."""

    missing: tuple[LineHint, ...] = ()
    other: tuple[tuple[Line, LineHint], ...] = ()
    stale: tuple[Line, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.missing or self.other or self.stale)


def planned_lines(order: WorkOrder) -> list[LineHint]:
    """What the plan asks lines for, in the active language, the shop's packages in their places.

    A package for a kind of planned thing adds its lines for each thing of the kind, beside it; a
    package with a part stands for the thing itself, one with hours for its labour.
    """
    packages: dict[str, list[Package]] = {}
    for package in Package.objects.filter(in_use=True).prefetch_related("lines__part"):
        packages.setdefault(package.planned, []).append(package)
    found: list[LineHint] = []
    done: set[tuple[str, str]] = set()
    for hint in (one for tell in LINE_HINTS for one in tell(order) if one.key):
        ours = packages.get(hint.planned, []) if hint.planned else []
        kinds = {line.kind for package in ours for line in package.lines.all()}
        if hint.kind not in kinds:
            found.append(hint)
        if (hint.planned, hint.axle) not in done:
            done.add((hint.planned, hint.axle))
            found += [line for package in ours for line in _of_package(package, hint)]
    return found


def _of_package(package: Package, hint: LineHint) -> Iterator[LineHint]:
    for line in package.lines.all():
        part = line.part
        yield LineHint(
            line.description or (part.name if part else package.name),
            line.quantity,
            part.price if part else None,
            f"package:{package.pk}:{line.pk}:{hint.axle}",
            hint.planned,
            line.kind,
            hint.axle,
            line.work,
            part,
        )


def gaps_of(order: WorkOrder) -> Gaps:
    """Where the order's lines and its plan part."""
    planned = {hint.key: hint for hint in planned_lines(order)}
    lines = {line.source: line for line in order.lines.select_related("part") if line.source}
    return Gaps(
        tuple(hint for key, hint in planned.items() if key not in lines),
        tuple(
            (lines[key], hint)
            for key, hint in planned.items()
            if key in lines and lines[key].quantity != hint.quantity
        ),
        tuple(line for key, line in lines.items() if key not in planned and _is_of_plan(key)),
    )


def gaps_on_card(order: WorkOrder) -> Gaps:
    """The same for an order whose lines were filled from its plan; nothing for all others."""
    return gaps_of(order) if any(line.source for line in lines_of(order)) else Gaps()


def _is_of_plan(source: str) -> bool:
    """Not a line of a package that was chosen by hand."""
    return not source.startswith("by-hand:")


@transaction.atomic
def lines_fill(*, order: WorkOrder, by: User) -> list[Line]:
    """Add a line for each planned thing that has none; answers the new lines.

    A line typed by hand with the same words is taken for the thing: it keeps all that it says.
    Lines without a recorded price get none: they are returned with a price of zero.
    """
    row = _to_fill(order, by)
    own = own_language()
    with speech_of_shop().active():
        missing = gaps_of(row).missing
    said = {code: _words_in(row, code) for code, _name in other_languages() if code != own}
    typed = {line.description.casefold(): line for line in row.lines.filter(source="")}
    new: list[Line] = []
    for hint in missing:
        known = typed.pop(hint.words.casefold(), None)
        if known is not None:
            known.source, known.source_words = hint.key, hint.words[:200]
            known.save(update_fields=["source", "source_words"])
            continue
        words = {code: texts[hint.key] for code, texts in said.items() if hint.key in texts}
        new.append(_line_of(row, hint, words))
    _keep(row, new, by)
    return new


@transaction.atomic
def package_add(*, order: WorkOrder, package: Package, by: User) -> list[Line]:
    """Add a package's lines, chosen by hand."""
    row = _to_fill(order, by)
    blank = LineHint(package.name, 1)
    hints = [replace(hint, key=f"by-hand:{hint.key}") for hint in _of_package(package, blank)]
    if not hints:
        raise Refused(_("This package has no lines."))
    new = [_line_of(row, hint, {}) for hint in hints]
    _keep(row, new, by)
    return new


def _to_fill(order: WorkOrder, by: User) -> WorkOrder:
    if not by.may_write_orders:
        raise NotYours(_("Only a service writer can change quote lines."))
    row = order_lock(order)
    if not row.is_open:
        raise Refused(_("This order is closed and its lines cannot be changed."))
    return row


def _words_in(order: WorkOrder, code: str) -> dict[str, str]:
    with override(code):
        return {hint.key: hint.words for hint in planned_lines(order)}


def _line_of(order: WorkOrder, hint: LineHint, words: dict[str, str]) -> Line:
    """A line for a planned thing, not saved."""
    shop = ShopSettings.load()
    price = shop.hourly_rate if hint.kind == LineKind.LABOUR else hint.price
    line = Line(
        order=order,
        kind=hint.kind,
        part=hint.part,
        description=hint.words[:200],
        work=hint.work,
        axle=hint.axle,
        quantity=Decimal(hint.quantity),
        unit_price=Decimal(0) if price is None else price,
        tax_rate=shop.tax_rate,
        with_tax=shop.prices_with_tax,
        source=hint.key[:120],
        source_words=hint.words[:200],
    )
    for code, text in words.items():
        if text != hint.words:
            line.set_text(code, "description", text[:200])
    return line


def _keep(order: WorkOrder, new: list[Line], by: User) -> None:
    """Save new lines below the others; a part that moves the wheel brings the need of a check."""
    last = order.lines.count()
    for position, line in enumerate(new, start=last):
        line.position = position
        line.save()
    for line in new:
        if line.part is not None and line.part.moves_wheel:
            order_moves_wheel(order=order, by=by, because=line.part.name)
    if new:
        said = format_lazy(ngettext_lazy("{count} line", "{count} lines", len(new)), count=len(new))
        names = "; ".join(line.description for line in new)
        log_write(
            order=order,
            by=by,
            what=gettext_lazy("Quote lines filled in"),
            detail=format_lazy("{count}: {names}", count=said, names=names),
        )
