"""Money in exact decimals: each line is rounded half up to the cent, totals are sums of lines."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Protocol

CENT = Decimal("0.01")
HUNDRED = Decimal(100)


class PricedLine(Protocol):
    """Anything with a quantity, a price for one, and a tax rate in percent."""

    quantity: Decimal
    unit_price: Decimal
    tax_rate: Decimal


@dataclass(frozen=True)
class TaxShare:
    """The net sum at one rate and the tax on it."""

    rate: Decimal
    net: Decimal
    tax: Decimal


@dataclass(frozen=True)
class Totals:
    net: Decimal
    tax: Decimal
    total: Decimal
    shares: tuple[TaxShare, ...]


def round_money(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)


def line_net(line: PricedLine) -> Decimal:
    return round_money(line.quantity * line.unit_price)


def line_tax(line: PricedLine) -> Decimal:
    """Tax of one line, on its rounded net."""
    return round_money(line_net(line) * line.tax_rate / HUNDRED)


def totals_of(lines: Iterable[PricedLine]) -> Totals:
    """Sums over ``lines``; the shares by tax rate are in falling order of rate."""
    nets: dict[Decimal, Decimal] = {}
    taxes: dict[Decimal, Decimal] = {}
    for line in lines:
        rate = line.tax_rate.quantize(CENT)
        nets[rate] = nets.get(rate, Decimal("0.00")) + line_net(line)
        taxes[rate] = taxes.get(rate, Decimal("0.00")) + line_tax(line)
    shares = tuple(TaxShare(rate, nets[rate], taxes[rate]) for rate in sorted(nets, reverse=True))
    net = sum((share.net for share in shares), Decimal("0.00"))
    tax = sum((share.tax for share in shares), Decimal("0.00"))
    return Totals(net=net, tax=tax, total=net + tax, shares=shares)
