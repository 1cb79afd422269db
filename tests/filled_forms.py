"""Every form that makes something or takes a step, filled in so that it is taken."""

from __future__ import annotations

import datetime as dt
import json
import uuid
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode

from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from alignment.models.import_layouts import ImportLayout
from fitment.clearance.services import check_run
from fitment.engine.mounting.law import PRESETS
from fitment.job.car import car_of_order
from fitment.models import DryFit
from fitment.surveys.files import survey_export
from fitment.tryout.options_page import start_query, tryout_from
from shop.customer_page.answers import question_ask
from shop.models import Authorisation, CustomerAnswer, RoadTest
from tests import factories
from tests.alignment.adjustments_orders import an_order as moved_order
from tests.alignment.factories import make_target
from tests.fitment.factories import make_ready_order, make_rubbing_order, make_survey
from tests.fitment.test_guides import make_guide
from tests.routes import TABLE

TYRES = "name;maker;size;section width\nGrip;Marrable;245/40R18;248\n"
WHEELS = "name;maker;diameter;width;offset\nSpokes;Marrable;18;8;45\n"
DAY = "2026-11-02"


@dataclass
class Filled:
    """What is sent to ``url`` from its form on ``page``, with ``data`` filled in.

    ``makes`` is false for a step that leaves as many rows as there were.
    """

    url: str
    data: dict[str, Any] = field(default_factory=dict)
    page: str = ""
    makes: bool = True


def _of(name: str, data: dict[str, Any] | None = None, **more: Any) -> Callable[[], Filled]:
    """The form of the walk's own rows."""

    def filled() -> Filled:
        return Filled(reverse(name, kwargs=TABLE[name].parts()), dict(data or {}), **more)

    return filled


def _on_lift(name: str, data: dict[str, Any]) -> Callable[[], Filled]:
    def filled() -> Filled:
        return Filled(reverse(name, args=[factories.make_order(state="on_lift").pk]), dict(data))

    return filled


def _booking() -> Filled:
    order = factories.make_order(kind="survey_visit")
    data = {
        "day": factories.tomorrow_at(9).date().isoformat(),
        "starts": "09:00",
        "ends": "10:00",
        "bay": factories.make_bay().pk,
        "technician": factories.make_user("technician").pk,
        "needs_rack": [],
    }
    return Filled(reverse("booking_new", args=[order.pk]), data)


def _arrived() -> Filled:
    order = factories.make_order()
    factories.make_part_order(order)
    url = reverse("parts_arrived", args=[order.pk])
    return Filled(url, page=reverse("order_parts", args=[order.pk]))


def _news_seen() -> Filled:
    factories.make_news()
    return Filled(reverse("news_all_seen"), page="-")


def _missed() -> Filled:
    order = factories.make_order(state="booked", kind="survey_visit")
    starts = timezone.now() - dt.timedelta(hours=1)
    booking = factories.make_booking(order, starts_at=starts)
    url = reverse("booking_no_show", args=[booking.pk])
    return Filled(url, {"reason": "no answer by telephone"}, makes=False)


def _comeback() -> Filled:
    order = factories.make_order(state="handed_over")
    data = {"corner": "LF", "place": "arch lip", "happens": "dip", "description": "It rubs"}
    return Filled(reverse("comeback_new", args=[order.pk]), data)


def _quoted() -> Any:
    factories.make_shop()
    order = factories.make_order(state="quoted", moves_wheel_or_height=False)
    factories.make_line(order)
    factories.make_quote(order)
    return order


def _authorised() -> Filled:
    token = _quoted().token
    data = {"name": "Nadir Quell", "agree": "on"}
    page = reverse("customer_order", args=[token])
    return Filled(reverse("customer_authorise", args=[token]), data, page)


def _link_form(name: str, data: dict[str, Any]) -> Callable[[], Filled]:
    """A form of a customer's page, which stands there beside others."""

    def filled() -> Filled:
        order = _quoted()
        quote = order.quotes.get()
        note = {
            "axle": "front",
            "rolled": False,
            "rows": [
                {"choice": "chosen", "words": "9x18", "verdict": "tight", "price": "900.00"},
                {"choice": "declined", "words": "8x18", "verdict": "clear", "price": "800.00"},
            ],
        }
        quote.document["notes"] = [note]
        quote.save()
        number = {"number": quote.number} if name != "customer_ask" else {}
        page = reverse("customer_order", args=[order.token])
        return Filled(reverse(name, args=[order.token]), data | number, page)

    return filled


def _replied() -> Filled:
    pk = question_ask(order=factories.make_order(), text="Does it rub?").pk
    order = CustomerAnswer.objects.get(pk=pk).order
    page = reverse("customer_answers", args=[order.pk])
    return Filled(reverse("customer_reply", args=[pk]), {"text": "No."}, page)


def _signed() -> Filled:
    data = {"name": "Nadir Quell", "agree": "on"}
    return Filled(reverse("quote_sign", args=[_quoted().pk]), data)


def _sent() -> Filled:
    factories.make_shop()
    order = factories.make_order()
    factories.make_line(order)
    return Filled(reverse("quote_send", args=[order.pk]), {})


def _ordered() -> Filled:
    order = _quoted()
    factories.make_line(order, kind="part", part=factories.make_part(moves_wheel=False))
    order.state = "approved"
    order.quotes.all().delete()
    order.save()
    quote = factories.make_quote(order)
    Authorisation.objects.create(quote=quote, name="N. Q.", amount=quote.total, via="link")
    return Filled(reverse("parts_order", args=[order.pk]))


def _new_order() -> Filled:
    data = {"request_text": "Wider wheels"}
    return Filled(f"{reverse('order_new')}?vehicle={factories.make_vehicle().pk}", data)


def _new_vehicle() -> Filled:
    owner = factories.make_customer().pk
    return Filled(f"{reverse('vehicle_new')}?customer={owner}", {"description": "2012 estate"})


def _walk_in() -> Filled:
    data = {"name": "Alva Berg", "description": "2012 estate", "car_model": "unknown"}
    data |= {"front_wheel": "8x17 ET45", "front_tyre": "225/45R17"}
    return Filled(reverse("walk_in"), data)


def _twins() -> Filled:
    kept, gone = (factories.make_customer(name="Alva Berg") for _ in range(2))
    url = reverse("customer_merge", args=[gone.pk])
    return Filled(url, {"kept": kept.pk}, page=url, makes=False)


def _twin_cars() -> Filled:
    owner, model = factories.make_customer(), factories.make_car_model()
    values = {"customer": owner, "car_model": model, "plate": "LG-TR 416"}
    kept, gone = (factories.make_vehicle(**values) for _ in range(2))
    url = reverse("vehicle_merge", args=[gone.pk])
    return Filled(url, {"kept": kept.pk}, page=url, makes=False)


def _import() -> Filled:
    kept = ImportLayout.objects.create(
        name="Rack by the door",
        columns=[
            {"name": "VL", "what": "camber", "corner": "LF", "unit": "deg", "turned": False},
            {"name": "VR", "what": "camber", "corner": "RF", "unit": "deg", "turned": False},
        ],
    )
    url = reverse("readings_import", args=[factories.make_order().pk])
    data = {"text": "VL;VR\n-1,2;-1,3\n", "import_layout": kept.pk, "stage": "before", "take": "y"}
    return Filled(url, data)


def _survey_file() -> Filled:
    survey = make_survey(factories.make_car_model())
    text = json.dumps(survey_export([survey])).encode()
    url = reverse("survey_import", args=[factories.make_car_model().pk, "LF"])
    file = SimpleUploadedFile("survey.json", text)
    return Filled(url, {"file": file, "measured_on": DAY, "measured_by": "Tomas"})


def _survey_copy() -> Filled:
    source = make_survey(factories.make_car_model())
    url = reverse("survey_copy", args=[factories.make_car_model().pk, "LF"])
    return Filled(url, {"source": source.pk, "why": "The same floor"})


def _joints() -> Filled:
    survey = make_survey(factories.make_car_model())
    data = {
        "standing_camber_deg": "-1,4",
        "standing_toe_deg": "0,05",
        "jacked_travel_mm": "38",
        "jacked_camber_deg": "-1,75",
        "jacked_toe_deg": "0,04",
        "act": "save",
    }
    return Filled(reverse("joint_fit", args=[survey.car_model_id, "LF"]), data)


def _visit() -> Filled:
    url = reverse("visit_new", args=[factories.make_order().pk])
    data = {"camber_LF": "-1.2", "camber_RF": "-1.3", "entry_key": str(uuid.uuid4())}
    return Filled(url, data)


def _target_taken() -> Filled:
    order = factories.make_order()
    sheet = make_target(car_model=order.vehicle.car_model)
    return Filled(reverse("target_take", args=[order.pk]), {"sheet": sheet.pk}, page="-")


def _moved() -> Filled:
    order = moved_order()
    page = reverse("adjustments", args=[order.pk])
    return Filled(reverse("adjustments_take", args=[order.pk]), {}, page)


def _driven() -> Filled:
    url = reverse("road_test", args=[factories.make_order(state="road_test").pk])
    return Filled(url, {"contact": [], "remark": "Quiet"})


def _offered() -> Filled:
    order = make_ready_order()
    order.state = "on_lift"
    order.save()
    looked = dict.fromkeys(DryFit.ASKED, "clears")
    return Filled(reverse("dry_fit", args=[order.pk]), {"axle": "front", **looked})


def _not_fitted() -> Filled:
    order = factories.make_order(state="on_lift")
    line = factories.make_line(order, kind="part", part=factories.make_part(torque_nm=88))
    url = f"{reverse('not_fitted', args=[order.pk])}?line={line.pk}"
    return Filled(url, {"reason": "The upper arm was enough"})


def _loosened() -> Filled:
    order = factories.make_order(state="on_lift")
    factories.sign_torques(order, factories.make_user("technician"))
    url = f"{reverse('torque_loosen', args=[order.pk])}?due=wheel-LF"
    return Filled(url, {"reason": "Cross-threaded"})


def _handed_over() -> Filled:
    order = factories.make_order(state="road_test", moves_wheel_or_height=False)
    by = factories.make_user("technician")
    RoadTest.objects.create(order=order, by=by, lock_left="quiet", lock_right="quiet")
    return Filled(reverse("hand_over", args=[order.pk]))


def _overridden() -> Filled:
    order = make_rubbing_order()
    check_run(order=order, by=factories.make_user("manager"))
    return Filled(reverse("gate_override", args=[order.pk]), {"reason": "The customer knows it"})


def _searched() -> Filled:
    return Filled(reverse("order_options", args=[make_rubbing_order().pk]), {"may": ["spacer"]})


def _searched_model() -> Filled:
    """From the set-up of an order's car, as the links of the try-out name it."""
    car = car_of_order(make_rubbing_order())
    assert car.car_model is not None
    query = {**start_query(tryout_from(car, {})), "car_model": car.car_model.pk}
    return Filled(f"{reverse('tryout_options')}?{urlencode(query)}", {"may": ["spacer"]})


def _checked() -> Filled:
    return Filled(reverse("clearance_run", args=[make_ready_order().pk]), page="-")


def _relied() -> Filled:
    order = make_rubbing_order()
    row = make_guide(order.vehicle.car_model)
    return Filled(reverse("guide_rely", args=[order.pk, row.pk]), page="-")


def _mailed_again() -> Filled:
    url = reverse("mail_again", kwargs=TABLE["mail_again"].parts())
    return Filled(url, {"to": "other@example.org"})


def _filed(name: str) -> Callable[[], Filled]:
    def filled() -> Filled:
        file = SimpleUploadedFile("notes.txt", b"Both springs are blue")
        return Filled(reverse(name, kwargs=TABLE[name].parts()), {"chosen": file})

    return filled


def _row() -> Filled:
    filled = _of("guide_row_new")()
    filled.data = {"axle": "front", "tyre_size": "245/35R18", "camber_deg": "-1.5"}
    return filled


FILLED: dict[str, Callable[[], Filled]] = {
    "bay_new": _of("bay_new", {"name": "Bay by the yard"}),
    "booking_new": _booking,
    "car_model_new": _of("car_model_new", {"name": "Estate, 2012"}),
    "class_new": _of(
        "class_new", {"name": "Club", "season": "2026", "source": "the book", "dated": DAY}
    ),
    "clearance_run": _checked,
    "comeback_new": _comeback,
    "customer_ask": _link_form("customer_ask", {"text": "Does it rub?"}),
    "customer_authorise": _authorised,
    "customer_choose": _link_form("customer_choose", {"option": "B"}),
    "customer_decline": _link_form("customer_decline", {"reason": "Too dear"}),
    "customer_reply": _replied,
    "customer_new": _of("customer_new", {"name": "Nadir Quell"}),
    "corner_files": _filed("corner_files"),
    "order_files": _filed("order_files"),
    "vehicle_files": _filed("vehicle_files"),
    "file_remove": _of("file_remove", {"reason": "Another car"}, makes=False),
    "guide_new": lambda: Filled(
        reverse("guide_new"),
        {
            "car_model": factories.make_car_model().pk,
            "maker": "A maker",
            "title": "A table",
            "source": "a list",
            "revision": "1",
            "dated": DAY,
        },
    ),
    "guide_revise": _of("guide_revise", {"revision": "2", "dated": DAY, "source": "a list"}),
    "guide_row_new": _row,
    "import_layout_new": _of(
        "import_layout_new",
        {
            "name": "Rack two",
            "col_0_name": "VL",
            "col_0_what": "camber",
            "col_0_corner": "LF",
            "col_0_unit": "deg",
        },
    ),
    "installed_new": _on_lift("installed_new", {"description": "Damper", "serial": "17"}),
    "joint_fit": _joints,
    "lines_from_plan": lambda: Filled(
        reverse("lines_from_plan", args=[make_ready_order().pk]), page="-"
    ),
    "mounting_run": _of("mounting_run", page="-"),
    "deposit_new": _of("deposit_new", {"asked": "150,00 €"}),
    "order_copy": _of("order_copy", {"request_text": "The same again"}),
    "order_new": _new_order,
    "package_new": _of("package_new", {"name": "Packers", "lines-0-description": "Fit packers"}),
    "order_options": _searched,
    "mail_again": _mailed_again,
    "mail_returned": _of("mail_returned", {"said": "Mailbox full"}, makes=False),
    "mail_withdraw": _of("mail_withdraw", page="-", makes=False),
    "part_new": _of("part_new", {"number": "X-1", "name": "Packer", "price": "12"}),
    "quote_send": _sent,
    "quote_sign": _signed,
    "readings_import": _import,
    "road_test": _driven,
    "price_list": _of(
        "price_list",
        {"text": "part number;net price\nX-9;12,50\n", "take": "1", "with_new": "on"},
        page="-",
    ),
    "supplier_new": _of("supplier_new", {"name": "Parts by the river"}),
    "staff_new": _of(
        "staff_new", {"username": "otto", "password": "a long sentence of otto", "is_active": "on"}
    ),
    "survey_copy": _survey_copy,
    "survey_import": _survey_file,
    "survey_measure": _of("survey_measure", {"level": "whole", "kind": "strut"}),
    "survey_mirror": _of("survey_mirror", page="-"),
    "target_new": _of(
        "target_new", {"source": "the shop", "dated": DAY, "front_camber_left": "-1.5"}
    ),
    "torque_sign": _on_lift(
        "torque_sign", {"tool": "W3", "other_what": "Hub nut", "other_torque": "210"}
    ),
    "tryout_options": _searched_model,
    "tyre_import": _of("tyre_import", {"text": TYRES, "take": "1"}),
    "tyre_measure": _of("tyre_measure", {"rim_in": "8,5", "width_mm": "250", "measured_on": DAY}),
    "tyre_new": _of("tyre_new", {"name": "Odd", "size": "245/35R18"}),
    "vehicle_new": _new_vehicle,
    "visit_new": _visit,
    "walk_in": _walk_in,
    "customer_merge": _twins,
    "vehicle_merge": _twin_cars,
    "wheel_import": _of("wheel_import", {"text": WHEELS, "take": "1"}),
    "wheel_measure": _of("wheel_measure", {"width_mm": "228", "measured_on": DAY}),
    "wheel_new": _of(
        "wheel_new", {"name": "Sixfold", "diameter_in": "18", "width_in": "8.5", "offset_mm": "35"}
    ),
    "adjustments_take": _moved,
    "dry_fit": _offered,
    "gate_override": _overridden,
    "hand_over": _handed_over,
    "not_fitted": _not_fitted,
    "torque_loosen": _loosened,
    "booking_cancel": _of("booking_cancel", page="-", makes=False),
    "booking_no_show": _missed,
    "feed_end": _of("feed_end", page="-", makes=False),
    "first_steps_hide": _of("first_steps_hide", page="-", makes=False),
    "news_all_seen": _news_seen,
    "news_open": _of("news_open", page="-"),
    "feed_new": lambda: Filled(reverse("feed_new"), {"bay": factories.make_bay().pk}, page="-"),
    "feed_renew": _of("feed_renew", page="-", makes=False),
    "guide_rely": _relied,
    "law_take": lambda: Filled(reverse("law_take"), {"preset": next(iter(PRESETS))}, page="-"),
    "measurement_remove": _of("measurement_remove", page="-", makes=False),
    "order_move": _of("order_move", {"to": "cancelled", "reason": "The car was sold"}, page="-"),
    "order_wait": _of("order_wait", {"waiting_for": "parts"}),
    "parts_order": _ordered,
    "arrival_undo": _of("arrival_undo", page="-", makes=False),
    "part_order_undo": _of("part_order_undo", page="-", makes=False),
    "parts_arrived": _arrived,
    "password": _of(
        "password",
        {
            "old_password": "a sentence only tests use",
            "new_password1": "quite another sentence 7",
            "new_password2": "quite another sentence 7",
        },
        makes=False,
    ),
    "session_continue": _of("session_continue", page="-", makes=False),
    "session_withdraw": _of("session_withdraw", {"why": "The wrong car"}, makes=False),
    "target_take": _target_taken,
    "version_withdraw": _of("version_withdraw", {"why": "The wrong car"}, makes=False),
    "wheel_measurement_remove": _of("wheel_measurement_remove", page="-", makes=False),
}
#: Steps that are not filled in here, and what holds each.
ELSEWHERE = {
    "customer_language": "choosing a language twice is choosing it",
    "login": "signing in twice is signing in",
    "logout": "signing out twice is signing out",
    "mail_try": "sends to an address of the manager's own, and keeps nothing",
    "order_mail": "needs a mail server: tests/shop/test_mail_pages.py",
    "password_new": "the link is used up: tests/shop/test_mail_pages.py",
    "password_reset": "one email in five minutes: tests/shop/test_mail_pages.py",
    "task_cancel": "cancelling twice is cancelling",
    "order_tryout": "puts the same wheels and settings there again: tests/fitment/test_tryout.py",
}
