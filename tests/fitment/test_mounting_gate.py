"""The gate of the mounting checks: failures stop, what cannot be said warns, what is stale waits.

Answers are kept with what they went by: an older quote and a closed order show what was said.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import IntegrityError
from django.test import Client
from django.urls import reverse

from common.message import message, message_dump
from common.verdicts import GateResult, Outcome
from fitment.catalogue.tyre_pools import measurement_add
from fitment.clearance.services import check_run
from fitment.models import MountingCheck, OrderMounting, OrderWheels, ShopLaw
from fitment.mounting.gate import mounting_gate
from fitment.mounting.law import law_take_over
from fitment.mounting.services.record import mounting_keep, mounting_state
from shop.calendar.services import booking_make
from shop.customer_page.page import BARRED as TOLD
from shop.extensions import gates
from shop.languages import ENGLISH
from shop.models import (
    Authorisation,
    CarModel,
    GateOverride,
    Quote,
    RecordCorrection,
    State,
    WorkOrder,
)
from shop.money.services import quote_authorise, quote_send, waits_for_approval
from shop.orders.services.gates import GateClosed, gate_override, gates_ask
from shop.orders.services.latest_quote import is_barred
from shop.parts.services import parts_order
from shop.sheet.document import sheet_pdf
from shop.site.refusals import NotYours, Refused
from tests.factories import (
    as_read,
    make_bay,
    make_customer,
    make_line,
    make_order,
    make_part,
    make_shop,
    make_user,
    make_vehicle,
    signed_before,
    tomorrow_at,
)
from tests.fitment.factories import make_order_wheels
from tests.fitment.test_mounting import an_order_that_suits
from tests.pdf import reader_of

pytestmark = pytest.mark.django_db
Browsers = Callable[[Any], Client]


def checked(**tyre: Any) -> WorkOrder:
    """An order that suits its car but for its tyre, checked."""
    law_take_over(preset="eu-cover")
    order = an_order_that_suits(**tyre)
    check_run(order=order, by=None)
    return order


def gate_of(order: WorkOrder) -> gates.GateAnswer:
    return mounting_gate(WorkOrder.objects.get(pk=order.pk))


def quoted(order: WorkOrder, writer: Any) -> Quote:
    make_shop()
    make_line(order, kind="part", part=make_part(), description="Wheels")
    return quote_send(order=order, by=writer)


def signed(order: WorkOrder, writer: Any) -> Quote:
    quote = quoted(order, writer)
    quote_authorise(
        quote=quote,
        name="Ilka Brandvold",
        **as_read(quote),
        via=Authorisation.Via.LINK,
        signed_warning=True,
    )
    order.refresh_from_db()
    return quote


def book(order: WorkOrder, by: Any) -> None:
    booking_make(
        order=order,
        by=by,
        bay=make_bay(),
        technician=make_user("technician"),
        starts_at=tomorrow_at(9),
        ends_at=tomorrow_at(12),
    )


def test_a_suitable_order_passes_or_only_warns() -> None:
    answer = gate_of(checked())
    assert answer.may_pass == gates.WRITER
    assert answer.result in (GateResult.PASSES, GateResult.CANNOT_SAY)


def test_what_fails_takes_a_manager_with_a_reason_and_the_customers_signature(
    writer: Any, manager: Any
) -> None:
    order = checked(rim_max_in=8.5)
    answer = gate_of(order)
    assert (answer.result, answer.may_pass) == (GateResult.FAILS, gates.MANAGER)
    assert answer.needs_signature
    assert "2 of" in answer.sentence
    assert "Rim width (front and rear): Rim 9 in; approved 8 in to 8.5 in, too wide." in (
        answer.sentence
    )
    quote = signed(order, writer)
    assert answer.sentence in quote.gate_warning
    with pytest.raises(GateClosed, match="too wide"):
        parts_order(order=order, by=writer)
    with pytest.raises(GateClosed):
        book(order, writer)
    with pytest.raises(NotYours):
        gate_override(order=order, by=writer, reason="It is fine", digest=answer.digest)
    override = gate_override(order=order, by=manager, reason="Light trailer", digest=answer.digest)
    assert (override.gate, override.result) == ("mounting", "fails")
    book(order, writer)
    order.refresh_from_db()
    assert order.state == State.BOOKED
    assert order.log.filter(what="Gate overridden: fails").exists()


#: What no decision passes, by the rule that finds it: a change of the order that suits.
BARRED: dict[str, tuple[str, Callable[[WorkOrder], Any]]] = {
    "another circle": (
        "bolt-circle",
        lambda order: _of(order, "wheel", bolt_circle_mm=100.0),
    ),
    "another count": ("bolt-circle", lambda order: _of(order, "wheel", bolt_count=4)),
    "a small bore": ("centre-bore", lambda order: _of(order, "wheel", centre_bore_mm=60.1)),
    "another seat": ("seat", lambda order: _of(order, "wheel", seat="ball12")),
    "another thread": (
        "thread",
        lambda order: OrderMounting.objects.create(order=order, axle="front", thread="M12×1.25"),
    ),
    "little thread": (
        "engagement",
        lambda order: OrderMounting.objects.create(order=order, axle="front", length_mm=20.0),
    ),
    "a bolt that bottoms": (
        "end-of-thread",
        lambda order: CarModel.objects.update(
            fastener="bolt", fastener_length_mm=40.0, thread_depth_mm=20.0
        ),
    ),
    "a closed nut that bottoms": (
        "end-of-thread",
        lambda order: CarModel.objects.update(
            fastener="stud", fastener_length_mm=40.0, nut_form="closed", nut_depth_mm=20.0
        ),
    ),
    "a low load index": ("load-index", lambda order: _of(order, "tyre", load_index="80")),
    "too little at speed": (
        "load-at-speed",
        lambda order: CarModel.objects.update(axle_load_front_kg=1900.0),
    ),
    "a weak wheel": ("wheel-load", lambda order: _of(order, "wheel", load_rating_kg=300)),
    "a slow tyre": ("speed-symbol", lambda order: _of(order, "tyre", speed_symbol="S")),
}


@pytest.mark.parametrize("change", BARRED)
def test_what_cannot_be_mounted_passes_no_signature_and_no_manager(
    change: str, writer: Any, manager: Any
) -> None:
    order = checked()
    rule, act = BARRED[change]
    act(order)
    order = WorkOrder.objects.select_related("vehicle__car_model").get(pk=order.pk)
    check_run(order=order, by=None)
    check = mounting_keep(order=order, by=None)
    assert check is not None
    assert rule in {one.rule for one in check.answers if one.bars}
    answer = gate_of(order)
    assert (answer.result, answer.may_pass) == (GateResult.CANNOT_BE_MOUNTED, gates.NO_ROLE)
    order = WorkOrder.objects.get(pk=order.pk)
    with pytest.raises(Refused, match="cannot be mounted"):
        signed(order, writer)
    order = signed_before(order)
    with pytest.raises(Refused, match="No override and no signature"):
        gate_override(order=order, by=manager, reason="I take it on me", digest=answer.digest)
    for person in (writer, manager):
        with pytest.raises(GateClosed, match="No override and no signature"):
            book(order, person)
        with pytest.raises(GateClosed):
            parts_order(order=order, by=person)
    assert not order.overrides.exists()


def test_a_quote_for_what_cannot_be_mounted_offers_no_signature(
    writer: Any, client_of: Any, stranger: Any
) -> None:
    order = checked(load_index="80")
    check_run(order=order, by=None)
    mounting_keep(order=order, by=None)
    quote = quoted(order, writer)
    order = WorkOrder.objects.get(pk=order.pk)
    assert is_barred(quote)
    assert not waits_for_approval(order, quote)
    page = stranger.get(reverse("customer_order", args=[order.token])).content.decode()
    assert reverse("customer_authorise", args=[order.token]) not in page
    assert str(TOLD) in page
    sign = client_of(writer).get(reverse("quote_sign", args=[order.pk]))
    assert sign.status_code == 302
    staff = client_of(writer).get(order.get_absolute_url()).content.decode()
    assert reverse("quote_sign", args=[order.pk]) not in staff


def test_no_row_can_say_that_what_cannot_be_mounted_was_overridden(manager: Any) -> None:
    with pytest.raises(IntegrityError):
        GateOverride.objects.create(
            order=make_order(),
            gate="mounting",
            digest="d",
            result=GateResult.CANNOT_BE_MOUNTED,
            sentence="5×100 on 5×112.",
            reason="ok",
            by=manager,
        )


def test_what_cannot_be_mounted_stands_first_and_apart() -> None:
    order = checked(load_index="88", rim_max_in=8.5)
    answer = gate_of(order)
    assert answer.sentence.startswith("Cannot be mounted: 2 of")
    assert answer.sentence.index("Load index") < answer.sentence.index("Rim width")
    assert answer.findings is not None
    outcomes = [one["said_outcome"] for one in answer.findings(ENGLISH)]
    assert outcomes[0] == "cannot be mounted"
    assert outcomes.index("fails") > outcomes.index("cannot be mounted")


def result(rule: str, axle: str = "front", *, bars: bool = True) -> dict[str, Any]:
    """A finding on record that fails."""
    return {
        "rule": rule,
        "axle": axle,
        "corner": "RF" if axle == "front" else "",
        "outcome": "fails",
        "bars": bars,
        "found": message_dump(message("found.lock-free")),
        "asks": message_dump(message("asks.thread")),
        "source": "common practice, no source",
        "missing": [],
    }


@pytest.mark.parametrize(
    ("results", "corner"),
    [
        ([result("brakes")], "RF"),
        ([result("lock")], "RF"),
        ([result("brakes"), result("lock")], "RF"),
        ([result("brakes", "rear"), result("rim-width", bars=False)], "LR"),
        ([result("brakes"), result("seat")], ""),
        ([result("seat")], ""),
        ([result("rim-width", bars=False)], ""),
    ],
)
def test_measuring_again_is_the_way_on_where_all_that_bars_was_measured(
    results: list[dict[str, Any]], corner: str
) -> None:
    order = checked()
    check = MountingCheck.objects.get()
    check.results, check.outcome = results, Outcome.FAILS
    check.save()
    answer = gate_of(order)
    if corner:
        survey = reverse("survey", args=[order.vehicle.car_model_id, corner])
        assert (answer.action_label, answer.action_url) == ("Measure this corner again", survey)
    else:
        assert answer.action_label == "See the mounting checks"
        assert answer.action_url.endswith("/mounting/checks/")


def test_a_measured_caliper_that_touches_leads_to_the_survey(
    client_of: Browsers, writer: Any
) -> None:
    """The engine's own finding: the brake stands in the back of the spokes."""
    order = checked()
    _of(order, "wheel", spoke_back=[[-40, 40], [-40, 205]])
    order = WorkOrder.objects.select_related("vehicle__car_model").get(pk=order.pk)
    check_run(order=order, by=None)
    (barred,) = {one.rule for one in MountingCheck.objects.latest("pk").answers if one.bars}
    assert barred == "brakes"
    answer = gate_of(order)
    assert answer.result == GateResult.CANNOT_BE_MOUNTED
    assert f"/car-models/{order.vehicle.car_model_id}/surveys/" in answer.action_url
    assert client_of(writer).get(answer.action_url).status_code == 200


def test_other_parts_and_a_corrected_record_open_the_gate_again(
    client_of: Browsers, writer: Any
) -> None:
    order = checked()
    wheel = OrderWheels.objects.filter(order=order).first().wheel
    type(wheel).objects.update(bolt_circle_mm=100.0)
    order = WorkOrder.objects.get(pk=order.pk)
    mounting_keep(order=order, by=None)
    assert gate_of(order).result == GateResult.CANNOT_BE_MOUNTED
    browser, url = client_of(writer), reverse("wheel_edit", args=[wheel.pk])
    form = browser.get(url).context["form"]
    sent = {
        name: "" if value is None or value == [] else value
        for name, value in form.initial.items()
        if name in form.fields
    }
    sent |= {"spoke_back": form["spoke_back"].value() or "", "bolt_circle_mm": "116"}
    page = browser.post(url, sent).content.decode()
    assert "Enter why this is corrected" in page
    wheel.refresh_from_db()
    assert wheel.bolt_circle_mm == 100.0
    answer = browser.post(url, sent | {"why": "Read off the wheel, it was typed wrong"})
    assert answer.status_code == 302, answer.context["form"].errors
    kept = RecordCorrection.objects.get()
    assert (kept.field, kept.old, kept.new, kept.by) == (
        "bolt_circle_mm", "100.0", "116.0", writer
    )  # fmt: skip
    shown = browser.get(url).content.decode()
    assert "<del>100.0</del> 116.0" in shown
    assert "Read off the wheel" in shown
    mounting_keep(order=WorkOrder.objects.get(pk=order.pk), by=writer)
    assert gate_of(order).result != GateResult.CANNOT_BE_MOUNTED


def test_what_cannot_be_said_is_a_caution_on_the_quote_and_stops_nothing(writer: Any) -> None:
    order = checked(load_index="")
    answer = gate_of(order)
    assert (answer.result, answer.may_pass) == (
        GateResult.CANNOT_SAY,
        gates.WRITER,
    )
    quote = signed(order, writer)
    assert "not enough data yet for" in quote.gate_warning
    assert not quote.signature_needed
    book(order, writer)
    order.refresh_from_db()
    assert order.state == State.BOOKED


def test_what_passes_warns_of_nothing(writer: Any) -> None:
    order = checked()
    check = MountingCheck.objects.get()
    check.results = [one | {"outcome": Outcome.PASSES} for one in check.results]
    check.outcome = Outcome.PASSES
    check.save()
    quote = quoted(order, writer)
    assert "mounting" not in quote.gate_warning.lower()
    mounting = next(one for one in quote.document["checks"] if one["gate"] == "mounting")
    assert mounting["findings"] == []


CHANGES: dict[str, Callable[[WorkOrder], Any]] = {
    "the wheel's bore": lambda order: _of(order, "wheel", centre_bore_mm=60.1),
    "the wheel's rating": lambda order: _of(order, "wheel", load_rating_kg=400),
    "the tyre's index": lambda order: _of(order, "tyre", load_index="80"),
    "the tyre's approved rims": lambda order: _of(order, "tyre", rim_max_in=8.5),
    "the car's papers": lambda order: CarModel.objects.update(load_index_front=95),
    "the hub": lambda order: CarModel.objects.update(thread="M12×1.5"),
    "a ring": lambda order: OrderMounting.objects.create(
        order=order, axle="front", ring_outer_mm=72.6, ring_inner_mm=64.5
    ),
    "a spacer": lambda order: OrderWheels.objects.filter(order=order).update(spacer_mm=5),
    "the law": lambda order: law_take_over(preset="sa-changes"),
    "a measured tyre": lambda order: measurement_add(
        tyre=order.order_wheels.first().tyre,
        by=make_user("technician"),
        values={"rim_in": 8.5, "diameter_mm": 640.0},
    ),
}


def _of(order: WorkOrder, what: str, **values: Any) -> None:
    thing = getattr(order.order_wheels.first(), what)
    for name, value in values.items():
        setattr(thing, name, value)
    thing.save()


@pytest.mark.parametrize("what", CHANGES)
def test_a_later_change_makes_the_answers_stale_and_bars_the_gate(what: str, writer: Any) -> None:
    order = checked()
    before = gate_of(order)
    CHANGES[what](order)
    answer = gate_of(order)
    assert (answer.result, answer.may_pass) == (GateResult.STALE, gates.NO_ROLE)
    assert answer.digest != before.digest
    assert answer.action_url.endswith("/mounting/checks/")
    mounting_keep(order=WorkOrder.objects.get(pk=order.pk), by=writer)
    assert gate_of(order).result != GateResult.STALE


def test_a_law_that_is_changed_and_changed_back_is_the_same_law() -> None:
    order = checked()
    law = ShopLaw.load()
    figures, revision = law.figures, law.revision
    law_take_over(preset="sa-changes")
    assert ShopLaw.load().revision == revision + 1
    assert gate_of(order).result == GateResult.STALE
    ShopLaw.objects.update(figures=figures)
    assert gate_of(order).result != GateResult.STALE


def test_an_override_falls_with_the_figures_that_it_was_given_for(manager: Any) -> None:
    order = checked(rim_max_in=8.5)
    gate_override(order=order, by=manager, reason="Light", digest=gate_of(order).digest)
    assert gates_ask(WorkOrder.objects.get(pk=order.pk))[1].override is not None
    _of(order, "tyre", rim_max_in=8.25)
    mounting_keep(order=WorkOrder.objects.get(pk=order.pk), by=manager)
    verdict = gates_ask(WorkOrder.objects.get(pk=order.pk))[1]
    assert verdict.answer.result == GateResult.FAILS
    assert verdict.override is None


def test_an_older_quote_shows_what_was_said_when_the_catalogue_has_changed(
    client_of: Browsers, writer: Any
) -> None:
    order = checked(load_index="88")
    quote = quoted(order, writer)
    _of(order, "tyre", load_index="95")
    mounting_keep(order=WorkOrder.objects.get(pk=order.pk), by=writer)
    text = client_of(writer).get(quote.get_absolute_url()).content.decode()
    assert "88 (560 kg); asked 91 (615 kg)." in text
    assert "UN Regulation No. 30, Annex IV" in text
    assert gate_of(order).result not in (GateResult.FAILS, GateResult.CANNOT_BE_MOUNTED)
    page = client_of(writer).get(order.get_absolute_url()).content.decode()
    assert "88 (560" not in page.split('id="quotes"')[0].split('id="log"')[0].split("mounting")[-1]


def test_a_german_customer_reads_what_fails_in_german(client: Client, writer: Any) -> None:
    order = checked(load_index="88", rim_max_in=8.5)
    order.customer = make_customer(language="de")
    order.save()
    quoted(order, writer)
    page = client.get(reverse("customer_order", args=[order.token])).content.decode()
    assert "Tragfähigkeitskennzahl" in page
    assert "88 (560 kg); gefordert 91 (615 kg)." in page
    assert "Felge 9 Zoll; freigegeben 8 Zoll bis 8,5 Zoll, zu breit." in page
    assert "Fahrzeugpapiere; Lasten nach UN-Regelung Nr. 30, Anhang IV." in page


def test_the_record_keeps_inputs_rules_sources_and_the_laws_revision() -> None:
    checked(load_index="88")
    check = MountingCheck.objects.get()
    assert check.outcome == Outcome.FAILS
    assert check.inputs["axles"]["front"]["fitted"]["load_index"] == "88"
    assert check.inputs["axles"]["front"]["needs"]["load_index"] == 91
    assert check.inputs["hub"]["bore_mm"] == 64.5
    assert check.inputs["law"]["cover_ahead_deg"]["source"].startswith("Commission Regulation")
    assert check.inputs["law_revision"] == ShopLaw.load().revision == 1
    assert all(one.source and one.rule for one in check.answers)


def test_the_same_answers_are_kept_once(writer: Any) -> None:
    order = checked()
    mounting_keep(order=order, by=writer)
    check_run(order=order, by=writer)
    assert MountingCheck.objects.count() == 1


def test_a_car_without_a_survey_is_still_checked_for_mounting(
    client_of: Browsers, writer: Any
) -> None:
    order = make_order(vehicle=make_vehicle(car_model=None))
    make_order_wheels(order)
    answer = gate_of(order)
    assert (answer.result, answer.may_pass) == (
        GateResult.NOT_CHECKED,
        gates.NO_ROLE,
    )
    browser = client_of(writer)
    page = browser.get(order.get_absolute_url()).content.decode()
    assert "Save to order parts or book" in page
    said = browser.post(reverse("mounting_run", args=[order.pk]))
    assert said["Location"].endswith("#mounting")
    assert gate_of(order).result == GateResult.CANNOT_SAY
    assert order.log.filter(what="Mounting checked").exists()


def test_an_order_that_mounts_nothing_or_moves_nothing_needs_no_mounting_checks() -> None:
    assert gate_of(make_order()).result == GateResult.NOT_NEEDED
    assert gate_of(make_order(moves_wheel_or_height=False)).result == GateResult.NOT_NEEDED


def test_the_order_page_says_what_is_out_of_date_and_what_is_different(
    client_of: Browsers, writer: Any
) -> None:
    order = checked()
    _of(order, "tyre", load_index="80")
    browser = client_of(writer)
    checks = reverse("order_mounting_checks", args=[order.pk])
    card = browser.get(order.get_absolute_url()).content.decode()
    assert "Out of date: the answer on record used other figures." in card
    page = browser.get(checks).content.decode()
    assert "Out of date." in page
    assert "Load index, front: passes on record, fails now" in page
    said = browser.post(reverse("mounting_run", args=[order.pk]), {"from": "checks"})
    assert said["Location"] == checks
    assert "Out of date." not in browser.get(checks).content.decode()
    assert "Out of date:" not in browser.get(order.get_absolute_url()).content.decode()


def test_a_closed_order_shows_its_answers_as_they_were(client_of: Browsers, writer: Any) -> None:
    order = checked(load_index="88")
    WorkOrder.objects.filter(pk=order.pk).update(state=State.HANDED_OVER)
    _of(order, "tyre", load_index="95")
    browser = client_of(writer)
    assert "88 (560" in browser.get(order.get_absolute_url()).content.decode()
    page = browser.get(reverse("order_mounting_checks", args=[order.pk])).content.decode()
    assert "Checked on" in page
    assert "88 (560" in page
    browser.post(reverse("mounting_run", args=[order.pk]))
    assert MountingCheck.objects.count() == 1
    kept = browser.get(MountingCheck.objects.get().get_absolute_url()).content.decode()
    assert "88 (560" in kept
    assert "revision 1" in kept


def test_choosing_other_wheels_answers_anew(client_of: Browsers, writer: Any) -> None:
    order = checked()
    row = order.order_wheels.get(axle="front")
    sent = {
        "front_wheel": row.wheel_id,
        "front_tyre": row.tyre_id,
        "front_spacer_mm": "12",
        "rear_wheel": row.wheel_id,
        "rear_tyre": row.tyre_id,
    }
    client_of(writer).post(reverse("order_wheels", args=[order.pk]), sent)
    state = mounting_state(WorkOrder.objects.get(pk=order.pk))
    assert state is not None
    assert state.current is not None
    found = {(one.axle, one.title.code): one for one in state.current.answers}
    assert found[("front", "rule.engagement")].outcome == Outcome.FAILS
    assert found[("front", "rule.brakes")].outcome == Outcome.CANNOT_SAY


def sheet_text(order: WorkOrder) -> str:
    reader = reader_of(sheet_pdf(WorkOrder.objects.get(pk=order.pk)))
    assert len(reader.pages) <= 2
    return " ".join(" ".join(page.extract_text().split()) for page in reader.pages)


def test_the_spec_sheet_names_what_fails_with_rule_and_source_and_what_is_open() -> None:
    make_shop()
    order = checked(load_index="88")
    text = sheet_text(order)
    assert "Cannot be mounted:" in text
    assert "Load index" in text
    assert "front and rear" in text
    assert "88 (560 kg); asked 91 (615 kg)." in text
    assert "UN Regulation No. 30, Annex IV." in text
    assert "out of date" not in text
    _of(order, "tyre", load_index="95")
    assert "The job has changed since: this check is out of date." in sheet_text(order)


def test_the_sheet_names_what_cannot_be_mounted_first_and_as_such() -> None:
    make_shop()
    text = sheet_text(checked(load_index="88", rim_max_in=8.5))
    barred, failing = text.index("Load index: cannot be mounted"), text.index("Rim width: fails")
    assert barred < failing


def test_a_closed_orders_sheet_shows_what_was_said_in_german_too() -> None:
    make_shop()
    order = checked(load_index="88")
    order.customer = make_customer(language="de")
    order.state = State.HANDED_OVER
    order.save()
    before = sheet_text(order)
    assert "88 (560 kg); gefordert 91 (615 kg)." in before
    assert "Fahrzeugpapiere" in before
    _of(order, "tyre", load_index="95")
    assert sheet_text(order) == before


def test_the_sheet_of_what_cannot_be_said_says_what() -> None:
    make_shop()
    text = sheet_text(checked(load_index=""))
    assert "No mounting check fails; not enough data yet" in text
    assert "Load index" in text
