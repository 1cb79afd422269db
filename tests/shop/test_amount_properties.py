"""Whatever lines and discounts there are, the totals add up to the cent."""

from dataclasses import dataclass
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from shop.values.amounts import (
    CENT,
    NO_DISCOUNT,
    Discount,
    line_amount,
    line_net,
    line_tax,
    net_and_tax,
    round_money,
    shared_out,
    totals_of,
)

RATES = [Decimal(rate) for rate in ("0", "5.5", "7", "19", "20", "25.00")]


@dataclass
class Priced:
    quantity: Decimal
    unit_price: Decimal
    tax_rate: Decimal
    discount: Discount = NO_DISCOUNT
    with_tax: bool = False


def money(top: str = "9999.99") -> st.SearchStrategy[Decimal]:
    return st.decimals(min_value=0, max_value=Decimal(top), places=2)


discounts = st.one_of(
    st.just(NO_DISCOUNT),
    st.builds(lambda p: Discount(percent=p), money("100")),
    st.builds(lambda m: Discount(money=m), money("3000")),
)
lines = st.lists(
    st.builds(Priced, money("40"), money("900"), st.sampled_from(RATES), discounts, st.booleans()),
    max_size=8,
)


@settings(max_examples=200, deadline=None)
@given(lines, discounts)
def test_net_and_tax_make_the_total_at_each_rate_and_in_all(
    rows: list[Priced], discount: Discount
) -> None:
    totals = totals_of(rows, discount)
    assert totals.net + totals.tax == totals.total
    assert sum((s.net for s in totals.shares), Decimal(0)) == totals.net
    assert sum((s.tax for s in totals.shares), Decimal(0)) == totals.tax
    assert {s.rate for s in totals.shares} == {row.tax_rate.quantize(CENT) for row in rows}
    for amount in (totals.net, totals.tax, totals.total, totals.discount, totals.amounts):
        assert amount == amount.quantize(CENT) >= 0
    assert totals.amounts == sum((line_amount(row) for row in rows), Decimal(0))
    assert totals.discount <= totals.amounts


@settings(max_examples=200, deadline=None)
@given(lines, discounts, st.booleans())
def test_lines_of_one_form_show_what_is_paid(
    rows: list[Priced], discount: Discount, with_tax: bool
) -> None:
    for row in rows:
        row.with_tax = with_tax
    totals = totals_of(rows, discount)
    assert (totals.total if with_tax else totals.net) == totals.amounts - totals.discount


@settings(max_examples=200, deadline=None)
@given(lines)
def test_without_a_discount_in_all_totals_are_sums_of_lines(rows: list[Priced]) -> None:
    totals = totals_of(rows)
    assert totals.net == sum((line_net(row) for row in rows), Decimal(0))
    assert totals.tax == sum((line_tax(row) for row in rows), Decimal(0))


@settings(max_examples=200, deadline=None)
@given(st.lists(money(), min_size=1, max_size=9), st.data())
def test_a_discount_is_shared_out_to_the_cent(amounts: list[Decimal], data: st.DataObject) -> None:
    whole = sum(amounts, Decimal(0))
    off = data.draw(money(str(whole)))
    shares = shared_out(off, amounts)
    assert sum(shares, Decimal(0)) == (off if whole else 0)
    for share, amount in zip(shares, amounts, strict=True):
        assert 0 <= share <= amount
        if whole:
            assert abs(share - off * amount / whole) < CENT


@given(money(), st.sampled_from(RATES))
def test_a_price_with_tax_holds_the_tax_of_its_net(amount: Decimal, rate: Decimal) -> None:
    net, tax = net_and_tax(amount, rate, with_tax=True)
    assert net + tax == amount
    assert abs(tax - round_money(net * rate / 100)) <= CENT


def test_half_a_cent_goes_up_and_a_third_is_given_to_the_first() -> None:
    half = Priced(Decimal("0.5"), Decimal("0.01"), Decimal(0))
    assert line_amount(half) == Decimal("0.01")
    third = [Decimal("1.00")] * 3
    assert shared_out(Decimal("1.00"), third) == [Decimal("0.34"), Decimal("0.33"), Decimal("0.33")]
