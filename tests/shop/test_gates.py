"""Who may go on past each result of a gate, and what has to be on record first."""

import pytest

from shop.extensions.gates import RULES
from shop.extensions.points import BOOKING_GATES
from shop.models import Authorisation, LogEntry, State
from shop.money.services import quote_authorise, quote_send
from shop.orders.services.gates import GateClosed, gate_override, gate_pass, gates_ask
from shop.parts.services import parts_order
from shop.site.refusals import NotYours, Refused
from tests.factories import (
    as_read,
    make_line,
    make_order,
    make_part,
    make_shop,
    make_user,
    signed_before,
)
from tests.shop import gates_for_tests
from tests.shop.gates_for_tests import say

pytestmark = pytest.mark.django_db
SENTENCE = "Rubs the arch lip: 4 mm too little."


@pytest.fixture(autouse=True)
def _told_gate(swap_plugs):
    swap_plugs(BOOKING_GATES, gates_for_tests.told_gate)
    say(result="clear")
    make_shop()


@pytest.fixture
def writer(db):
    return make_user("writer")


@pytest.fixture
def manager(db):
    return make_user("manager")


def quoted_and_signed(order, writer, *, tick: bool = True):
    make_line(order)
    quote = quote_send(order=order, by=writer)
    quote_authorise(
        quote=quote, name="A. Customer", **as_read(quote), via="link", signed_warning=tick
    )
    return quote


@pytest.mark.parametrize("result", ["clear", "tight", "not needed"])
def test_a_writer_goes_on_where_the_car_clears(result, writer) -> None:
    say(result=result)
    assert gate_pass(order=make_order(), not_yet="Not yet.", by=writer)


@pytest.mark.parametrize("result", ["doubtful", "contact", "out of reach", "unmeasured"])
def test_without_a_managers_reason_these_stop_every_role(result, writer, manager) -> None:
    say(result=result)
    for user in (writer, manager):
        with pytest.raises(GateClosed) as closed:
            gate_pass(order=make_order(), not_yet="Not yet.", by=user)
        assert closed.value.answer.action_label == "Check again"


@pytest.mark.parametrize("result", ["stale", "not checked", "never heard of"])
def test_these_stop_every_role_and_take_no_override(result, manager) -> None:
    say(result=result)
    order = make_order()
    with pytest.raises(Refused, match="Run the check"):
        gate_override(order=order, by=manager, reason="I am sure", digest="d-1")
    with pytest.raises(GateClosed):
        gate_pass(order=order, not_yet="Not yet.", by=manager)


def test_a_uncertainty_is_passed_with_a_managers_reason_alone(writer, manager) -> None:
    say(result="doubtful")
    order = make_order()
    gate_override(order=order, by=manager, reason="Dry fit on Monday", digest="d-1")
    assert gate_pass(order=order, not_yet="Not yet.", by=writer)


@pytest.mark.parametrize("result", ["contact", "out of reach", "unmeasured", "fails"])
def test_these_need_the_reason_and_the_signature_under_the_very_answer(
    result, writer, manager
) -> None:
    say(result=result, sentence=SENTENCE)
    order = make_order()
    gate_override(order=order, by=manager, reason="The customer cuts the lip", digest="d-1")
    with pytest.raises(GateClosed, match="signature"):
        gate_pass(order=order, not_yet="Not yet.", by=writer)
    quoted_and_signed(order, writer)
    assert Authorisation.objects.get().signed_sentence == SENTENCE
    assert gate_pass(order=order, not_yet="Not yet.", by=writer)
    say(result=result, sentence="The same answer in other words.")
    assert gate_pass(order=order, not_yet="Not yet.", by=writer)
    say(result=result, sentence=SENTENCE, digest="d-2")
    gate_override(order=order, by=manager, reason="The customer cuts the lip", digest="d-2")
    with pytest.raises(GateClosed, match="signature"):
        gate_pass(order=order, not_yet="Not yet.", by=writer)


def test_a_signature_alone_is_not_enough(writer) -> None:
    say(result="contact", sentence=SENTENCE)
    order = make_order()
    quoted_and_signed(order, writer)
    with pytest.raises(GateClosed, match="manager's reason"):
        gate_pass(order=order, not_yet="Not yet.", by=writer)


def test_a_new_quote_ends_the_old_signature(writer, manager) -> None:
    say(result="contact", sentence=SENTENCE)
    order = make_order()
    gate_override(order=order, by=manager, reason="Agreed by telephone", digest="d-1")
    quoted_and_signed(order, writer)
    quote_send(order=order, by=writer)
    with pytest.raises(GateClosed, match="signature"):
        gate_pass(order=order, not_yet="Not yet.", by=writer)


def test_an_override_is_good_for_its_digest_only(writer, manager) -> None:
    say(result="doubtful", digest="before")
    order = make_order()
    gate_override(order=order, by=manager, reason="Dry fit first", digest="before")
    say(result="doubtful", digest="after")
    with pytest.raises(GateClosed):
        gate_pass(order=order, not_yet="Not yet.", by=writer)
    with pytest.raises(Refused, match="has changed"):
        gate_override(order=order, by=manager, reason="Still sure", digest="before")


def test_an_override_of_a_uncertainty_does_not_pass_a_contact_with_the_same_digest(
    writer, manager
) -> None:
    say(result="doubtful")
    order = make_order()
    gate_override(order=order, by=manager, reason="Dry fit first", digest="d-1")
    say(result="contact")
    assert gates_ask(order)[0].wants_override


def test_only_a_manager_overrides_and_only_with_a_reason(writer, manager) -> None:
    say(result="doubtful")
    order = make_order()
    with pytest.raises(NotYours):
        gate_override(order=order, by=writer, reason="I think so", digest="d-1")
    with pytest.raises(Refused) as refusal:
        gate_override(order=order, by=manager, reason=" ", digest="d-1")
    assert refusal.value.field == "reason"
    assert not LogEntry.objects.exists()


def test_a_gate_may_be_stricter_than_the_rule_and_never_milder(writer) -> None:
    say(result="clear", may_pass="no role")
    with pytest.raises(GateClosed):
        gate_pass(order=make_order(), not_yet="Not yet.", by=writer)
    say(result="contact", may_pass="writer")
    with pytest.raises(GateClosed):
        gate_pass(order=make_order(), not_yet="Not yet.", by=writer)


def test_what_cannot_be_mounted_passes_neither_reason_nor_signature(writer, manager) -> None:
    say(result="cannot be mounted", sentence="5×100 on 5×116.")
    order = make_order()
    with pytest.raises(Refused, match="cannot be mounted"):
        quoted_and_signed(order, writer)
    order = signed_before(order)
    with pytest.raises(Refused, match="No override and no signature"):
        gate_override(order=order, by=manager, reason="I take it on me", digest="d-1")
    for person in (writer, manager):
        with pytest.raises(GateClosed, match="Choose other parts, correct the record"):
            gate_pass(order=order, not_yet="Not yet.", by=person)
    assert not order.overrides.exists()


@pytest.mark.parametrize("result", sorted(RULES))
def test_no_result_stops_a_quote_and_what_is_not_clear_is_warned_of(result, writer) -> None:
    say(result=result, sentence=SENTENCE)
    order = make_order()
    make_line(order)
    quote = quote_send(order=order, by=writer)
    warned = result not in ("clear", "not needed", "passes")
    assert quote.gate_warning == (SENTENCE if warned else "")
    assert quote.signature_needed == RULES[result][1]
    assert order.state == State.QUOTED


def test_the_warning_has_to_be_ticked_where_it_is_signed(writer) -> None:
    say(result="contact", sentence=SENTENCE)
    order = make_order()
    with pytest.raises(Refused) as refusal:
        quoted_and_signed(order, writer, tick=False)
    assert refusal.value.field == "signed_warning"


def test_parts_wait_for_the_gate_and_for_the_word_on_the_class(writer, manager) -> None:
    order = make_order()
    make_line(order, kind="part", part=make_part(), description="Top mounts")
    quoted_and_signed(order, writer)
    say(result="stale")
    with pytest.raises(GateClosed):
        parts_order(order=order, by=writer)
    say(result="clear")
    type(order).objects.filter(pk=order.pk).update(class_rules="Club rules, class B")
    with pytest.raises(Refused, match="Class rules"):
        parts_order(order=order, by=writer)
    order.refresh_from_db()
    quote = quote_send(order=order, by=writer)
    assert "Club rules, class B" in quote.class_caution
    quote_authorise(
        quote=quote, name="A. Customer", **as_read(quote), via="link", signed_warning=False
    )
    parts_order(order=order, by=writer)
    order.refresh_from_db()
    assert order.waiting_for == "parts"
    with pytest.raises(Refused, match="already"):
        parts_order(order=order, by=writer)


def test_changed_lines_send_the_writer_back_to_the_quote(writer) -> None:
    order = make_order()
    make_line(order, kind="part", part=make_part(), description="Top mounts")
    quoted_and_signed(order, writer)
    make_line(order, description="Two more hours")
    with pytest.raises(Refused, match="Changed since the customer approved: Work or part"):
        parts_order(order=order, by=writer)
