"""The try-out: set-ups are tried by address, told in words, compared, and put on the order."""

from __future__ import annotations

import io
import re
from typing import Any

import pytest
from django.urls import reverse
from pypdf import PdfReader
from reportlab.platypus import SimpleDocTemplate

from alignment.models import PlannedSetting
from alignment.text.render import Reader
from fitment.clearance.services import check_run
from fitment.drawings.scene_pdf import SceneFlowable
from fitment.engine.drawing.scene import Words
from fitment.models import OrderWheels, TyreModel, WheelModel
from fitment.tryout.services.strips import strip_scene, windows_of
from shop.models import LogEntry
from tests.factories import make_order, make_vehicle
from tests.fitment.factories import (
    make_ready_order,
    make_rubbing_order,
    make_survey,
    make_surveyed_car_model,
    make_tyre,
    make_wheel,
    make_wide_tyre,
)

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}


def state(**changes: Any) -> dict[str, Any]:
    wheel = changes.pop("wheel", None) or make_wheel().pk
    tyre = changes.pop("tyre", None)
    tyre = make_tyre().pk if tyre is None else tyre
    found = {
        "axle": "front",
        "use": "street",
        "wheel": wheel,
        "tyre": tyre,
        "camber": "-2.4",
        "by": "top_mount",
        "toe": "0.05",
        "height": "-15",
    }
    return found | changes


def on(browser: Any, car_model: Any, **more: Any) -> Any:
    return browser.get(reverse("tryout"), {"car_model": car_model.pk} | more)


def text(page: Any) -> str:
    return re.sub(r"\s+", " ", page.content.decode())


def test_a_tryout_without_a_car_model_offers_measured_ones(writer: Any, client_of: Any) -> None:
    car_model = make_surveyed_car_model()
    vehicle = make_vehicle(car_model=car_model)
    page = text(client_of(writer).get(reverse("tryout")))
    assert str(car_model) in page
    assert str(vehicle) in page
    address = f"{reverse('tryout')}?car_model={car_model.pk}"
    assert f'href="{address}"' in page
    assert client_of(writer).get(address).context["car_model"] == car_model
    opened = client_of(writer).get(reverse("tryout"), {"vehicle": vehicle.pk})
    assert opened.context["car_model"] == car_model


def test_an_address_shows_drawing_sentence_places_and_effects(writer: Any, client_of: Any) -> None:
    page = on(client_of(writer), make_surveyed_car_model(), **state())
    said = text(page)
    assert "<svg" in said
    assert "arch lip" in said
    assert "Effects" in said
    assert page.context["first"].verdict in said


def test_the_tryout_says_what_the_check_says(writer: Any, client_of: Any) -> None:
    order = make_rubbing_order()
    check = check_run(order=order, by=writer)
    page = client_of(writer).get(reverse("order_tryout", args=[order.pk]))
    first = page.context["first"]
    assert first.verdict == check.verdict == "contact"
    kept = min(place["clearance_mm"] for place in check.answer["corners"]["LF"]["places"])
    assert first.tightest.clearance_mm == pytest.approx(kept, abs=1e-3)


def test_a_change_answers_with_a_part_and_its_address(writer: Any, client_of: Any) -> None:
    car_model = make_surveyed_car_model()
    query = {"car_model": car_model.pk} | state()
    part = client_of(writer).get(reverse("tryout"), query, headers=HTMX)
    assert "<html" not in text(part)
    address = part.headers["HX-Replace-Url"]
    again = client_of(writer).get(address)
    assert again.context["first"].set_up == part.context["first"].set_up


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"by": ""}, "by", "Choose how camber is set"),
        ({"camber": ""}, "camber", "Enter camber or clear the method"),
        ({"wheel": ""}, "wheel", "type one"),
        ({"wheel": "9.5x18"}, "wheel", "offset"),
        ({"camber": "much"}, "camber", "much"),
        ({"by": "upper_arm"}, "by", "upper_arm"),
        ({"tyre": "round"}, "tyre", "round"),
        ({"tyre": "31x10.5R15"}, "tyre", "31x10.5R15"),
        ({"tyre": "245/40R17"}, "tyre", "17 in rim"),
        ({"tyre": "", "size": "245/40R17"}, "tyre", "17 in rim"),
        ({"tyre": ""}, "tyre", "Choose a tyre"),
        ({"height": "-90"}, "height", "stops"),
        ({"packer": "-3"}, "packer", "zero or more"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(
    change: dict[str, str], field: str, words: str, writer: Any, client_of: Any
) -> None:
    page = on(client_of(writer), make_surveyed_car_model(), **(state() | change))
    assert page.status_code == 200
    assert words in " ".join(page.context["form"].errors[field])
    part = client_of(writer).get(page.wsgi_request.get_full_path(), headers=HTMX)
    assert f'id="id_{field}_slot" hx-swap-oob="true"><p class="wrong-text">' in text(part)


def test_a_nominal_size_can_be_tried_and_says_so(writer: Any, client_of: Any) -> None:
    page = on(client_of(writer), make_surveyed_car_model(), **state(tyre="", size="235/40r18"))
    assert page.context["first"].set_up.tyre_words == "235/40R18, nominal"
    assert ", nominal" in text(page)


def test_what_people_type_is_understood(writer: Any, client_of: Any) -> None:
    page = on(client_of(writer), make_surveyed_car_model(), **state(camber="2.4 neg", toe="0°03'"))
    tried = page.context["first"].set_up
    assert (tried.camber_deg, tried.toe_deg) == (-2.4, pytest.approx(0.05))


def test_two_set_ups_stand_beside_each_other(writer: Any, client_of: Any) -> None:
    wide = make_wide_tyre()
    query = state()
    second = {f"b-{name}": value for name, value in query.items() if name not in ("axle", "use")}
    page = on(
        client_of(writer), make_surveyed_car_model(), **query, **(second | {"b-tyre": wide.pk})
    )
    rows = page.context["differences"]
    assert rows
    assert any(abs(row.by_mm) > 1 for row in rows)
    assert [what for what, _, _ in page.context["choices"]] == ["Tyre"]
    assert "other-outline" in text(page)
    assert "What differs" in text(page)
    swapped = client_of(writer).get(page.context["swap_url"])
    assert swapped.context["first"].set_up.tyre == wide
    assert swapped.context["differences"][0].by_mm == pytest.approx(-rows[0].by_mm)


def beside(query: dict[str, Any], **changes: Any) -> dict[str, Any]:
    """The same set-up as the second, with changes."""
    second = {f"b-{name}": value for name, value in query.items() if name not in ("axle", "use")}
    return query | second | {f"b-{name}": value for name, value in changes.items()}


def test_two_wheels_in_one_room_are_one_drawing_with_the_other_dashed(
    writer: Any, client_of: Any
) -> None:
    query = state()
    page = on(client_of(writer), make_surveyed_car_model(), **beside(query, spacer="8"))
    (drawing,) = page.context["drawings"]
    assert 'class="other-outline"' in drawing.svg
    assert drawing.has_dashed
    assert "Second trial, dashed" in text(page)


@pytest.mark.parametrize("change", [{"camber": "-1.5"}, {"height": "0"}, {"by": "lower_arm"}])
def test_set_ups_whose_rooms_differ_are_drawn_each_in_its_own(
    change: dict[str, str], writer: Any, client_of: Any
) -> None:
    car_model, query, browser = make_surveyed_car_model(), state(), client_of(writer)
    page = on(browser, car_model, **beside(query, **change, spacer="8"))
    one, two = page.context["drawings"]
    assert (one.which, two.which) == ("First trial", "Second trial")
    for drawing in (one, two):
        assert "other-outline" not in drawing.svg
    shown = text(page)
    assert "dashed" not in shown
    assert "each is drawn by itself, at one scale" in shown
    ids = re.findall(r' id="([^"]+)"', shown)
    assert len(ids) == len(set(ids))
    alone = on(browser, car_model, **(query | change | {"spacer": "8"}))
    lines = re.compile(r'<path class="(?:swept-edge|ink-thick|gap-ok)"[^>]*>')
    assert lines.findall(two.svg) == lines.findall(alone.context["drawings"][0].svg)
    assert lines.findall(one.svg) != lines.findall(two.svg)


def test_a_side_without_a_survey_is_never_taken_for_clear(writer: Any, client_of: Any) -> None:
    car_model = make_surveyed_car_model(corners="LF")
    page = on(client_of(writer), car_model, **state())
    assert page.context["first"].verdict == "unmeasured"
    rear = on(client_of(writer), car_model, axle="rear")
    assert not rear.context["measured"]
    assert "The rear of this car is not measured" in text(rear)


def test_sides_that_differ_are_both_answered(writer: Any, client_of: Any) -> None:
    car_model = make_surveyed_car_model(corners="LF")
    right = make_survey(car_model, "RF")
    right.document["limits"]["bump_mm"] -= 10
    right.save()
    page = on(client_of(writer), car_model, **state())
    assert {view.name for view in page.context["sides"]} == {"front left", "front right"}


def test_a_set_up_is_put_on_the_order(writer: Any, client_of: Any) -> None:
    order = make_rubbing_order()
    narrow = make_tyre()
    browser, url = client_of(writer), reverse("order_tryout", args=[order.pk])
    wheel = OrderWheels.objects.get(order=order, axle="front").wheel
    sent = state(wheel=wheel.pk, tyre=narrow.pk, camber="-2.2", spacer="3", packer="5")
    assert browser.post(url, sent).status_code == 302
    row = OrderWheels.objects.get(order=order, axle="front")
    plan = PlannedSetting.objects.get(order=order, axle="front")
    assert (row.tyre, row.spacer_mm) == (narrow, 3.0)
    assert (plan.camber_deg, plan.camber_by) == (-2.2, "top_mount")
    assert plan.adjusters == {"ride_height_mm": -15.0, "bump_stop_mm": 5.0}
    assert LogEntry.objects.filter(order=order, what="Set-up taken from the try-out").exists()
    form = browser.get(reverse("plan_edit", args=[order.pk])).context["form"]
    assert form.initial["front_camber"] == "−2.200°"
    shown = browser.get(url)
    assert shown.context["first"].set_up.tyre == narrow


def test_the_second_set_up_can_be_put_on_the_order_as_it_is(writer: Any, client_of: Any) -> None:
    order = make_ready_order()
    query = beside(state(), spacer="8", camber="-1.5")
    url, browser = reverse("order_tryout", args=[order.pk]), client_of(writer)
    page = browser.get(url, query)
    assert "Use the second trial on the order" in text(page)
    assert browser.post(url, page.context["second_put"]).status_code == 302
    assert OrderWheels.objects.get(order=order, axle="front").spacer_mm == 8
    assert PlannedSetting.objects.get(order=order, axle="front").camber_deg == -1.5


def test_a_closed_order_takes_nothing(manager: Any, client_of: Any) -> None:
    order = make_ready_order(state="cancelled")
    page = client_of(manager).post(reverse("order_tryout", args=[order.pk]), state())
    assert page.status_code == 422
    assert "closed" in text(page)


def test_an_order_without_a_car_model_says_that_nothing_is_measured(
    writer: Any, client_of: Any
) -> None:
    order = make_order()
    page = client_of(writer).get(reverse("order_tryout", args=[order.pk]))
    assert page.status_code == 200
    assert not page.context["measured"]
    assert "is not measured, so its clearance is unknown" in text(page)


def test_trying_changes_nothing(writer: Any, client_of: Any) -> None:
    order = make_ready_order()
    before = LogEntry.objects.count()
    client_of(writer).get(reverse("order_tryout", args=[order.pk]), state(camber="-1"))
    assert PlannedSetting.objects.get(order=order).camber_deg == -2.4
    assert LogEntry.objects.count() == before


def test_a_change_asks_the_database_little(
    writer: Any, client_of: Any, django_assert_max_num_queries: Any
) -> None:
    order = make_ready_order()
    url, query = reverse("order_tryout", args=[order.pk]), state()
    browser = client_of(writer)
    browser.get(url, query, headers=HTMX)
    for _ in range(5):
        make_wheel()
        make_tyre()
    with django_assert_max_num_queries(20):
        browser.get(url, query | {"camber": "-2.4"}, headers=HTMX)


# Typed, and the strips


def test_what_is_typed_needs_no_row_of_the_catalogue(writer: Any, client_of: Any) -> None:
    typed = state(wheel="9,5 J x 18 ET 35", tyre="245/40 ZR18 97Y")
    rows = WheelModel.every.count(), TyreModel.every.count()
    page = on(client_of(writer), make_surveyed_car_model(), **typed)
    tried = page.context["first"].set_up
    assert (tried.wheel.width_in, tried.wheel.diameter_in, tried.wheel.offset_mm) == (9.5, 18, 35)
    assert tried.tyre_words == "245/40R18 97Y, nominal"
    assert (WheelModel.every.count(), TyreModel.every.count()) == rows
    again = client_of(writer).get(page.context["link"])
    assert again.context["first"].sides[0].key == page.context["first"].sides[0].key


@pytest.mark.parametrize("tyre", ["LT245/75R16 120S", "215/65 R16 C 109/107T"])
def test_van_and_light_truck_sizes_are_read(tyre: str, writer: Any, client_of: Any) -> None:
    typed = state(wheel="7x16 ET40", tyre=tyre)
    page = on(client_of(writer), make_surveyed_car_model(), **typed)
    assert page.context["first"].set_up.tyre is None
    assert page.context["form"].errors == {}


def test_a_row_is_named_on_the_page_and_numbered_in_the_address(
    writer: Any, client_of: Any
) -> None:
    wheel, tyre = make_wheel(), make_tyre()
    named = state(wheel=str(wheel).upper(), tyre=f"  {tyre} ")
    page = on(client_of(writer), make_surveyed_car_model(), **named)
    assert page.context["first"].set_up.wheel == wheel
    assert page.context["query"]["wheel"] == str(wheel.pk)
    assert page.context["query"]["tyre"] == str(tyre.pk)
    shown = client_of(writer).get(page.context["link"]).context["form"]
    assert shown["wheel"].value() == str(wheel)


def test_two_rows_of_one_name_are_told_apart(writer: Any, client_of: Any) -> None:
    one, other = make_wheel(), make_wheel(barrel_mm=14)
    for wheel in (one, other):
        page = on(client_of(writer), make_surveyed_car_model(), **state(wheel=wheel.pk))
        assert page.context["first"].set_up.wheel == wheel
        named = page.context["form"]["wheel"].value()
        assert f"no. {wheel.pk}" in named
        again = on(client_of(writer), make_surveyed_car_model(), **state(wheel=named))
        assert again.context["first"].set_up.wheel == wheel


def test_without_toe_it_is_said_how_it_is_taken(writer: Any, client_of: Any) -> None:
    page = on(client_of(writer), make_surveyed_car_model(), **state(toe=""))
    assert page.context["first"].set_up.toe_deg == 0.0
    assert "0.00" in page.context["form"].taken[0]
    order = make_ready_order()
    planned = state(toe="")
    page = client_of(writer).get(reverse("order_tryout", args=[order.pk]), planned)
    assert page.context["first"].set_up.toe_deg == 0.05
    assert "planned" in page.context["form"].taken[0]
    assert page.context["form"].taken[0] in text(page)


def test_what_was_typed_becomes_the_orders_own(writer: Any, client_of: Any) -> None:
    order = make_ready_order()
    typed = state(wheel="9.5x18 ET35 5x112", tyre="245/40 ZR18 97Y")
    for _ in range(2):
        answer = client_of(writer).post(reverse("order_tryout", args=[order.pk]), typed)
        assert answer.status_code == 302
    row = OrderWheels.objects.get(order=order, axle="front")
    assert (row.wheel.offset_mm, row.wheel.bolt_count) == (35, 5)
    assert (row.tyre.size, row.tyre.load_index, row.tyre.speed_symbol) == ("245/40R18", "97", "Y")
    assert WheelModel.every.filter(typed_for=order).count() == 1
    assert not WheelModel.objects.filter(pk=row.wheel.pk).exists()
    again = client_of(writer).get(reverse("order_tryout", args=[order.pk]))
    assert again.context["first"].set_up.wheel == row.wheel


def test_the_strips_come_after_the_answer_and_by_a_link(writer: Any, client_of: Any) -> None:
    browser = client_of(writer)
    page = on(browser, make_surveyed_car_model(), **state())
    url = page.context["windows_url"]
    assert f'hx-get="{url}"'.replace("&", "&amp;") in text(page)
    part = browser.get(url, headers=HTMX)
    assert "<html" not in text(part)
    whole = text(browser.get(url))
    for quantity in ("offset", "width"):
        assert f'data-test="strip-{quantity}"' in text(part)
        assert f'data-test="strip-{quantity}"' in whole
    assert "HX-Replace-Url" not in part.headers


def test_the_strips_clear_where_the_tryout_does(writer: Any, client_of: Any) -> None:
    browser, car_model = client_of(writer), make_surveyed_car_model()
    first = on(browser, car_model, **state()).context["first"]
    (offsets, _widths) = windows_of(tuple(side.key for side in first.sides))
    near = offsets.nearest
    assert near is not None
    for at, clears in ((near.low_mm, True), (near.low_mm - 0.1, False)):
        wheel = make_wheel(name=f"At {at:g}", offset_mm=at)
        tried = on(browser, car_model, **state(wheel=wheel.pk)).context["first"]
        assert all(side.answer.verdict.clears for side in tried.sides) is clears


def test_a_strip_is_drawn_on_paper_as_on_the_screen(writer: Any, client_of: Any) -> None:
    first = on(client_of(writer), make_surveyed_car_model(), **state()).context["first"]
    window = windows_of(tuple(side.key for side in first.sides))[0]
    scene = strip_scene(window, ("front left",), Reader())
    paper = io.BytesIO()
    SimpleDocTemplate(paper).build([SceneFlowable(scene, 400.0)])
    said = PdfReader(paper).pages[0].extract_text()
    for line in (line for part in scene.parts if isinstance(part, Words) for line, _ in part.lines):
        assert str(line) in said


def test_a_changed_answer_is_announced(writer: Any, client_of: Any) -> None:
    browser, car_model = client_of(writer), make_surveyed_car_model()
    whole = text(on(browser, car_model, **state()))
    assert re.search(r'id="tryout-said"[^>]*role="status"', whole)
    query = {"car_model": car_model.pk} | state()
    part = text(browser.get(reverse("tryout"), query, headers=HTMX))
    assert 'id="tryout-said" hx-swap-oob="innerHTML"' in part


def test_a_car_is_found_by_its_plate(writer: Any, client_of: Any) -> None:
    car_model = make_surveyed_car_model()
    make_vehicle(car_model=car_model, plate="LG 17 IBV")
    found = client_of(writer).get(reverse("tryout"), {"q": "lg17ibv"})
    assert found.status_code == 302
    assert found["Location"] == f"{reverse('tryout')}?car_model={car_model.pk}"
    none = client_of(writer).get(reverse("tryout"), {"q": "XX 1"})
    assert none.context["nothing"]
    assert "XX 1" in text(none)
