"""The phone question on one page: what is answered, said against it, and refused."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any
from urllib.parse import urlencode

import pytest
from django.urls import reverse

from fitment.job.car import car_of_car_model
from fitment.models import Guide, GuideRow, OptionSearch, WheelModel
from fitment.tryout.services import widest as services
from fitment.tryout.services.widest import Asked, cars_named, widest_tyre
from shop.models import CarModel
from tests.factories import make_car_model, make_vehicle
from tests.fitment.factories import (
    make_surveyed_car_model,
    make_tyre,
    make_wheel,
    make_wide_tyre,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def no_hurry(monkeypatch: pytest.MonkeyPatch) -> None:
    """A busy machine may take its time; what happens when time is up has a test of its own."""
    monkeypatch.setattr(services, "LONGEST_S", 300.0)


@pytest.fixture
def car_model() -> CarModel:
    made = make_surveyed_car_model()
    make_wheel()
    make_tyre()
    make_wide_tyre()
    return made


def asked(client: Any, **query: str) -> Any:
    return client.get(reverse("widest"), query)


def text(page: Any) -> str:
    return re.sub(r"\s+", " ", page.content.decode())


def test_the_page_asks_four_things(writer: Any, client_of: Any) -> None:
    page = text(asked(client_of(writer)))
    assert reverse("widest") in page
    assert 'data-test="widest-answer"' not in page


def test_the_answer_opens_in_the_tryout_and_clears_there(
    car_model: CarModel, writer: Any, client_of: Any
) -> None:
    browser = client_of(writer)
    page = asked(browser, car=car_model.name, height="-15", camber="-2.0")
    context = page.context
    assert context["complete"]
    for row in (context["best"], context["runner_up"]):
        tried = browser.get(row.url).context["first"]
        assert all(side.answer.verdict.clears for side in tried.sides)
        assert tried.set_up.axle == "rear"
        assert (tried.set_up.camber_deg, tried.set_up.ride_height_mm) == (-2.0, -15.0)
        assert tried.tightest.clearance_mm == pytest.approx(row.spot.clearance_mm, abs=1e-6)
    assert context["best"].width_mm >= context["runner_up"].width_mm
    assert 'data-test="widest-answer"' in text(page)


def test_what_is_wider_says_why(car_model: CarModel, writer: Any, client_of: Any) -> None:
    page = asked(client_of(writer), car=car_model.name, axle="front", height="-25", camber="-1.0")
    assert page.context["wider"]
    for row in page.context["wider"]:
        assert row.against or row.verdict.value != "clear"
        assert row.spot is not None or row.against


def test_a_plate_names_the_car_with_or_without_blanks(car_model: CarModel) -> None:
    make_vehicle(car_model=car_model, plate="4-LIND-077")
    for typed in ("4-LIND-077", "4lind077", " 4 lind 077 ", car_model.name.upper()):
        assert cars_named(typed) == [car_model]
    assert cars_named("nothing like it") == []
    assert cars_named("  ") == []


def test_several_cars_are_offered_as_links(writer: Any, client_of: Any) -> None:
    one, other = make_car_model(name="Coupé with struts"), make_car_model(name="Coupé with links")
    page = asked(client_of(writer), car="coupé", height="-10")
    urls = dict(page.context["several"])
    assert set(urls) == {str(one), str(other)}
    assert client_of(writer).get(urls[str(one)]).context["car_model"] == one


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ({"car": ""}, "car"),
        ({"car": "no such car"}, "car"),
        ({"height": "low"}, "height"),
        ({"camber": "much"}, "camber"),
        ({"wheel": "9x18"}, "wheel"),
        ({"axle": "middle"}, "axle"),
    ],
)
def test_what_is_not_understood_is_said_at_its_field_and_kept(
    query: dict[str, str], field: str, car_model: CarModel, writer: Any, client_of: Any
) -> None:
    sent = {"car": car_model.name, "height": "-15", "camber": "-2"} | query
    page = asked(client_of(writer), **sent)
    assert page.status_code == 200
    form = page.context["form"]
    assert form.errors[field]
    for name, value in sent.items():
        assert form[name].value() == value


def test_an_axle_that_is_not_measured_is_never_answered(writer: Any, client_of: Any) -> None:
    car_model = make_surveyed_car_model(corners="LF RF")
    page = asked(client_of(writer), car=car_model.name)
    assert page.context["unmeasured"]
    assert "answered" not in page.context


def test_without_a_wheel_in_the_catalogue_one_is_asked_for(writer: Any, client_of: Any) -> None:
    car_model = make_surveyed_car_model()
    page = asked(client_of(writer), car=car_model.name)
    assert "type one" in page.context["form"].errors["wheel"][0]


def test_a_typed_wheel_carries_every_answer(
    car_model: CarModel, writer: Any, client_of: Any
) -> None:
    page = asked(client_of(writer), car=car_model.name, height="-10", wheel="8x18 ET42")
    rows = [page.context["best"], page.context["runner_up"]]
    assert all("8×18 ET42" in row.words or "8x18 ET42" in row.words for row in rows if row)
    assert not WheelModel.objects.filter(width_in=8).exists()


def test_an_answer_that_takes_too_long_says_so_and_can_go_on(
    car_model: CarModel, writer: Any, client_of: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    question = Asked(car_of_car_model(car_model), "rear", "street", -15.0, -2.0)
    monkeypatch.setattr(services, "LONGEST_S", 0.0)
    assert not widest_tyre(question).found.complete
    browser = client_of(writer)
    page = asked(browser, car=car_model.name, height="-15", camber="-2.0")
    assert not page.context["complete"]
    on = page.context["search"]
    sent: dict[str, Any] = {}
    for name, value in on["fields"]:
        sent.setdefault(name, []).append(value)
    assert browser.post(on["url"], sent).status_code == 302


# Options from a set-up that is not complete


@pytest.mark.parametrize(
    "query", [{}, {"camber": "-2.0", "by": "top_mount"}, {"wheel": "8x18 ET40"}]
)
def test_options_need_no_complete_set_up(
    query: dict[str, str], writer: Any, client_of: Any
) -> None:
    make_wheel()
    tyre = make_tyre()
    car_model = make_surveyed_car_model()
    address = {"car_model": car_model.pk, "axle": "front", **query}
    page = client_of(writer).get(reverse("tryout_options"), address)
    begun = page.context["tried"].set_up
    assert begun.tyre == tyre
    assert str(begun.wheel.size) in page.context["begun"]
    assert page.context["begun"] in text(page)
    sent = {"goal": "widest", "may": ["wheel", "tyre"]}
    url = f"{reverse('tryout_options')}?{urlencode(address)}"
    assert client_of(writer).post(url, sent).status_code == 302
    search = OptionSearch.objects.get()
    assert search.start["tyre"] == str(tyre.pk)
    assert (search.start["wheel"] == "8x18 ET40") == ("wheel" in query)


def test_without_any_wheel_it_is_said_what_to_type(writer: Any, client_of: Any) -> None:
    car_model = make_surveyed_car_model()
    page = client_of(writer).get(reverse("tryout_options"), {"car_model": car_model.pk})
    assert "type one" in page.context["refused"]


def test_a_fitment_table_that_does_not_promise_it_is_named(
    car_model: CarModel, writer: Any, client_of: Any
) -> None:
    guide = Guide.objects.create(
        car_model=car_model,
        title="Rear sizes",
        maker="Northfold",
        source="leaflet",
        revision="C",
        dated=dt.date(2026, 1, 5),
    )
    row = GuideRow.objects.create(guide=guide, axle="rear", wheel_width_in=9, wheel_diameter_in=18)
    sent = {"car": car_model.name, "height": "-15", "camber": "-1.0"}
    promised = asked(client_of(writer), **sent).context["best"]
    assert str(guide) not in " ".join(promised.against)
    row.camber_deg = -3.0
    row.save()
    told = asked(client_of(writer), **sent).context["best"]
    assert told.words == promised.words
    assert str(guide) in " ".join(told.against)
