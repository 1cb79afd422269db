"""Money in exact decimals, rounded half up to the cent.

The rule, which holds for every quote:

1. A line's *amount* is its quantity times its unit price, rounded, less its own discount.
2. A discount in all is taken off the sum of the amounts and shared among the lines in proportion
   to them; the cents that rounding leaves go to the lines that rounding hurt most, the first of
   equals. So the shares add up to the discount exactly.
3. What is left of a line without tax is its net, and its tax is that times the rate, rounded.
   What is left of a line with tax is its gross, and its net is that divided by one plus the rate,
   rounded; its tax is the rest.
4. Totals are sums over the lines: net plus tax is the total, also at each rate.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import Protocol

CENT = Decimal("0.01")
HUNDRED = Decimal(100)
ZERO = Decimal("0.00")


def round_money(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


@dataclass(frozen=True)
class Discount:
    """What is taken off: per cent of an amount, or money, or nothing."""

    percent: Decimal = ZERO
    money: Decimal = ZERO

    def __bool__(self) -> bool:
        return bool(self.percent or self.money)

    def off(self, amount: Decimal) -> Decimal:
        """What is taken off an amount: never more than there is."""
        return min(amount, round_money(amount * self.percent / HUNDRED) + round_money(self.money))

    def __str__(self) -> str:
        """As a quote keeps it: ``10 %``, ``15.00`` or empty."""
        if self.percent:
            return f"{self.percent.normalize() + 0:f} %"
        return str(round_money(self.money)) if self.money else ""


NO_DISCOUNT = Discount()


class PricedLine(Protocol):
    """Anything with a quantity, a price for one with or without tax, and a tax rate in percent."""

    quantity: Decimal
    unit_price: Decimal
    tax_rate: Decimal
    with_tax: bool

    @property
    def discount(self) -> Discount: ...


@dataclass(frozen=True)
class TaxShare:
    """The net sum at one rate and the tax on it."""

    rate: Decimal
    net: Decimal
    tax: Decimal


@dataclass(frozen=True)
class Totals:
    """Sums over lines. ``amounts`` is the sum of the lines as they show it, ``discount`` what is
    taken off it in all; ``shares`` are in falling order of rate."""

    net: Decimal
    tax: Decimal
    total: Decimal
    shares: tuple[TaxShare, ...]
    amounts: Decimal = ZERO
    discount: Decimal = ZERO


def line_amount(line: PricedLine) -> Decimal:
    """What a line shows: with or without tax as its price is, its own discount taken off."""
    full = round_money(line.quantity * line.unit_price)
    return full - line.discount.off(full)


def net_and_tax(amount: Decimal, rate: Decimal, *, with_tax: bool) -> tuple[Decimal, Decimal]:
    """The net in an amount and the tax on it."""
    if with_tax:
        net = round_money(amount * HUNDRED / (HUNDRED + rate))
        return net, amount - net
    return amount, round_money(amount * rate / HUNDRED)


def line_net(line: PricedLine) -> Decimal:
    return net_and_tax(line_amount(line), line.tax_rate, with_tax=line.with_tax)[0]


def line_tax(line: PricedLine) -> Decimal:
    """Tax of one line, before any discount in all."""
    return net_and_tax(line_amount(line), line.tax_rate, with_tax=line.with_tax)[1]


def shared_out(sum_off: Decimal, amounts: Sequence[Decimal]) -> list[Decimal]:
    """Whole cents of ``sum_off`` for each of ``amounts``, in proportion, adding up exactly.

    By largest remainder; no share is larger than its amount, since ``sum_off`` is at most
    the sum of the amounts.
    """
    whole = sum(amounts, ZERO)
    if not sum_off or not whole:
        return [ZERO for _ in amounts]
    exact = [sum_off * amount / whole for amount in amounts]
    shares = [one.quantize(CENT, rounding=ROUND_FLOOR) for one in exact]
    left = int((sum_off - sum(shares, ZERO)) / CENT)
    by_rest = sorted(range(len(amounts)), key=lambda i: (shares[i] - exact[i], i))
    for i in by_rest[:left]:
        shares[i] += CENT
    return shares


def totals_of(lines: Iterable[PricedLine], discount: Discount = NO_DISCOUNT) -> Totals:
    """Sums over ``lines`` by the rule of this module."""
    rows = list(lines)
    amounts = [line_amount(line) for line in rows]
    whole = sum(amounts, ZERO)
    off = discount.off(whole)
    nets: dict[Decimal, Decimal] = {}
    taxes: dict[Decimal, Decimal] = {}
    for line, amount, share in zip(rows, amounts, shared_out(off, amounts), strict=True):
        rate = line.tax_rate.quantize(CENT)
        net, tax = net_and_tax(amount - share, line.tax_rate, with_tax=line.with_tax)
        nets[rate] = nets.get(rate, ZERO) + net
        taxes[rate] = taxes.get(rate, ZERO) + tax
    shares = tuple(TaxShare(rate, nets[rate], taxes[rate]) for rate in sorted(nets, reverse=True))
    net = sum((share.net for share in shares), ZERO)
    tax = sum((share.tax for share in shares), ZERO)
    return Totals(net, tax, net + tax, shares, whole, off)
