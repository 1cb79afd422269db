"""Money is exact: lines round half up to the cent, and totals are sums of rounded lines."""

from dataclasses import dataclass
from decimal import Decimal

from shop.values.amounts import NO_DISCOUNT, Discount, line_net, line_tax, totals_of


@dataclass
class Priced:
    quantity: Decimal
    unit_price: Decimal
    tax_rate: Decimal = Decimal("20.00")
    discount: Discount = NO_DISCOUNT
    with_tax: bool = False


def test_half_a_cent_rounds_up() -> None:
    assert line_net(Priced(Decimal("0.5"), Decimal("0.01"))) == Decimal("0.01")
    assert line_net(Priced(Decimal("1.25"), Decimal("0.10"))) == Decimal("0.13")
    assert line_tax(Priced(Decimal(1), Decimal("0.05"), Decimal("10"))) == Decimal("0.01")


def test_tenths_that_binary_fractions_cannot_hold_add_up() -> None:
    totals = totals_of([Priced(Decimal(1), Decimal("0.10"), Decimal(0))] * 3)
    assert totals.total == Decimal("0.30")


def test_the_total_is_the_sum_of_what_is_printed() -> None:
    lines = [Priced(Decimal("1.33"), Decimal("79.99")), Priced(Decimal("4"), Decimal("12.345"))]
    totals = totals_of(lines)
    assert totals.net == line_net(lines[0]) + line_net(lines[1])
    assert totals.total == totals.net + totals.tax


def test_each_rate_has_its_share() -> None:
    totals = totals_of(
        [
            Priced(Decimal(1), Decimal("100"), Decimal("20")),
            Priced(Decimal(1), Decimal("50"), Decimal("10")),
            Priced(Decimal(2), Decimal("50"), Decimal("20.00")),
        ]
    )
    assert [(s.rate, s.net, s.tax) for s in totals.shares] == [
        (Decimal("20.00"), Decimal("200.00"), Decimal("40.00")),
        (Decimal("10.00"), Decimal("50.00"), Decimal("5.00")),
    ]


def test_nothing_costs_nothing() -> None:
    assert totals_of([]).total == Decimal("0.00")
