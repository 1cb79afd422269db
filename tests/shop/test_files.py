"""Photographs and files: freed of what cameras add, told by their bytes, served to few."""

from __future__ import annotations

import io
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse
from PIL import Image

from shop.files.data import Owner
from shop.files.services import file_read, file_remove, files_add, files_of, safe_name
from shop.models import Comeback, LogEntry, StoredFile, User, WorkOrder
from shop.site.refusals import Refused
from shop.values import photos
from shop.values.photos import NoPhoto, photo_freed
from tests.factories import make_car_model, make_file, make_order, make_vehicle
from tests.photographs import CAMERA, LYING, photograph, place_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def media(settings: Any, tmp_path: Path) -> Path:
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


@pytest.fixture
def order(media: Path) -> WorkOrder:
    return make_order()


@pytest.fixture
def browser(client_of: Callable[[Any], Client], technician: User) -> Client:
    return client_of(technician)


def content_of(answer: Any) -> bytes:
    return b"".join(answer.streaming_content)


def upload(content: bytes, name: str = "photo.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_neither_place_nor_camera_of_a_photograph_is_stored(
    form: str, order: WorkOrder, browser: Client, media: Path
) -> None:
    taken = photograph(form)
    assert place_in(taken)
    assert CAMERA.encode() in taken
    url = reverse("order_files", args=[order.pk])
    assert browser.post(url, {"photos": [upload(taken)]}).status_code == 302
    stored = [path for path in media.rglob("*") if path.is_file()]
    assert len(stored) == 2
    for path in stored:
        content = path.read_bytes()
        assert not place_in(content)
        with Image.open(io.BytesIO(content)) as picture:
            assert not picture.getexif()
            assert not {"exif", "icc_profile", "comment", "xmp"} & set(picture.info)
        assert CAMERA.encode() not in content
    assert CAMERA not in " ".join(path.name for path in stored)


def test_older_photographs_are_freed_by_the_upgrade(media: Path) -> None:
    order = make_order()
    values = {"first_order": make_order(), "corner": "LF", "place": "lip", "happens": "dip"}
    comeback = Comeback(order=order, **values)
    comeback.photo.save("old.jpg", ContentFile(photograph()))
    broken = Comeback(order=make_order(), **values)
    broken.photo.save("broken.jpg", ContentFile(b"no picture"))
    import_module("shop.migrations.0017_photos_freed").free_photos(apps, None)
    comeback.refresh_from_db()
    with comeback.photo.open("rb") as kept:
        assert not place_in(kept.read())
    broken.refresh_from_db()
    assert broken.photo.size == len(b"no picture")
    assert len([path for path in media.rglob("*") if path.is_file()]) == 2


def test_a_picture_that_lay_on_its_side_stands() -> None:
    freed = photo_freed(photograph(orientation=LYING))
    assert (freed.width, freed.height) == (30, 60)
    with Image.open(io.BytesIO(freed.content)) as picture:
        red, _green, blue = picture.convert("RGB").getpixel((15, 5))
        assert red > 200 > 50 > blue
        red, _green, blue = picture.convert("RGB").getpixel((15, 55))
        assert blue > 200 > 50 > red


def test_a_large_picture_is_kept_smaller(monkeypatch: pytest.MonkeyPatch) -> None:
    freed = photo_freed(photograph(size=(photos.LONGEST_PX * 2, 100)))
    assert (freed.width, freed.height) == (photos.LONGEST_PX, 50)
    monkeypatch.setattr(photos, "MOST_PIXELS", 1000)
    with pytest.raises(NoPhoto) as refused:
        photo_freed(photograph())
    assert refused.value.reason == NoPhoto.TOO_LARGE


@pytest.mark.parametrize("cut", [40, 200])
def test_a_damaged_picture_is_refused(cut: int) -> None:
    with pytest.raises(NoPhoto) as refused:
        photo_freed(photograph()[:cut])
    assert refused.value.reason == NoPhoto.BROKEN


@pytest.mark.parametrize(
    ("content", "name"),
    [
        (b"<script>alert(1)</script>", "page.html"),
        (b"MZ\0\0", "tool.exe"),
        (b"\0\0\0", "notes.txt"),
        (b"", "empty.txt"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "drawing.svg"),
    ],
)
def test_other_kinds_are_refused_by_name(content: bytes, name: str) -> None:
    with pytest.raises(ValidationError) as refused:
        file_read(upload(content, name))
    assert name in refused.value.messages[0]


def test_limits_are_said(browser: Client, order: WorkOrder, monkeypatch: Any) -> None:
    url = reverse("order_files", args=[order.pk])
    help_text = browser.get(url).context["form"].fields["chosen"].help_text
    assert "20 MB" in help_text
    assert "15 MB" in help_text
    monkeypatch.setattr("shop.files.services.LARGEST_BYTES", 8)
    answer = browser.post(url, {"chosen": [upload(b"%PDF-1.7 long", "invoice.pdf")]})
    assert "invoice.pdf" in str(answer.context["form"].errors["chosen"])
    many = [upload(b"a", f"{n}.txt") for n in range(21)]
    answer = browser.post(url, {"chosen": many, "caption": "Springs"})
    assert answer.context["form"].errors["chosen"]
    assert "Springs" in answer.content.decode()
    assert browser.post(url, {"caption": "Springs"}).context["form"].errors["chosen"]
    assert not StoredFile.objects.exists()


def test_the_good_ones_are_kept_where_others_are_refused(browser: Client, order: WorkOrder) -> None:
    url = reverse("order_files", args=[order.pk])
    several = [upload(photograph()), upload(b"%PDF-1.7", "bill.pdf"), upload(b"MZ\0", "tool.exe")]
    answer = browser.post(url, {"chosen": several, "caption": "The arch"}, follow=True)
    assert [row.name for row in files_of(Owner(order=order))] == ["photo.jpg", "bill.pdf"]
    assert "tool.exe" in answer.content.decode()
    entry = LogEntry.objects.get(order=order)
    assert entry.detail == "photo.jpg, bill.pdf"


def test_what_is_no_picture_is_downloaded_and_runs_nothing(
    browser: Client, order: WorkOrder, technician: User
) -> None:
    page = file_read(upload(b"<script>alert(1)</script>", "notes.txt"))
    (row,) = files_add(owner=Owner(order=order), files=[page], by=technician)
    answer = browser.get(reverse("file", args=[row.pk]))
    assert answer.headers["Content-Type"] == "text/plain; charset=utf-8"
    assert answer.headers["Content-Disposition"] == 'attachment; filename="notes.txt"'
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Content-Security-Policy"] == "default-src 'none'; sandbox"
    picture = browser.get(reverse("file", args=[make_file(order=order).pk]))
    assert picture.headers["Content-Disposition"].startswith("inline")
    assert picture.headers["Content-Type"] == "image/jpeg"
    small = browser.get(reverse("file_thumb", args=[StoredFile.objects.last().pk]))  # type: ignore[union-attr]
    assert photos.photo_kind(content_of(small)) == photos.JPEG
    assert browser.get(reverse("file_thumb", args=[row.pk])).status_code == 404


def test_names_keep_to_their_folder() -> None:
    assert safe_name("../../etc/passwd") == "passwd"
    assert safe_name("C:\\cars\\left.jpg") == "left.jpg"
    assert safe_name('a"b\r\nc.txt') == "a_b_c.txt"
    assert len(safe_name("x" * 300 + ".pdf")) == 120


def test_a_customer_sees_what_was_marked_on_their_own_order_and_nothing_else(
    order: WorkOrder, client: Client, browser: Client
) -> None:
    hidden, shown = make_file(order=order), make_file(order=order, for_customer=True)
    other = make_order()
    page = client.get(reverse("customer_order", args=[order.token])).content.decode()
    for row, seen in ((hidden, False), (shown, True)):
        for name in ("customer_file", "customer_file_thumb"):
            url = reverse(name, args=[order.token, row.pk])
            assert (client.get(url).status_code == 200) is seen
            assert (url in page) is seen
            assert client.get(reverse(name, args=[other.token, row.pk])).status_code == 404
        assert client.get(reverse("file", args=[row.pk])).status_code == 302
    browser.post(reverse("file_edit", args=[shown.pk]), {"caption": "Kept to us"})
    assert client.get(reverse("customer_file", args=[order.token, shown.pk])).status_code == 404


def test_removing_asks_why_and_takes_the_bytes(
    order: WorkOrder,
    browser: Client,
    media: Path,
    technician: User,
    django_capture_on_commit_callbacks: Any,
) -> None:
    row = make_file(order=order, for_customer=True)
    url = reverse("file_remove", args=[row.pk])
    assert browser.post(url, {"reason": ""}).context["form"].errors["reason"]
    with django_capture_on_commit_callbacks(execute=True):
        browser.post(url, {"reason": "Another car"})
    assert not [path for path in media.rglob("*") if path.is_file()]
    assert browser.get(reverse("file", args=[row.pk])).status_code == 404
    entry = LogEntry.objects.filter(order=order).latest("pk")
    assert entry.detail == "Another car"
    assert row.name in entry.what
    page = browser.get(reverse("order_files", args=[order.pk])).content.decode()
    assert "Another car" in page
    with pytest.raises(Refused):
        file_remove(file=row, reason="again", by=technician)


def test_each_record_has_its_own(media: Path, browser: Client) -> None:
    vehicle, model = make_vehicle(), make_car_model()
    of_vehicle = make_file(vehicle=vehicle)
    of_corner = make_file(car_model=model, corner="LF")
    assert list(files_of(Owner(vehicle=vehicle))) == [of_vehicle]
    assert list(files_of(Owner(car_model=model, corner="LF"))) == [of_corner]
    assert not files_of(Owner(car_model=model, corner="RF")).exists()
    thumb = reverse("file_thumb", args=[of_vehicle.pk])
    assert thumb in browser.get(vehicle.get_absolute_url()).content.decode()
    thumb = reverse("file_thumb", args=[of_corner.pk])
    assert thumb in browser.get(reverse("survey", args=[model.pk, "LF"])).content.decode()
    assert thumb not in browser.get(reverse("survey", args=[model.pk, "RF"])).content.decode()
    assert browser.get(reverse("corner_files", args=[model.pk, "XX"])).status_code == 404


@pytest.mark.database
def test_the_database_holds_whose_a_file_is(order: WorkOrder) -> None:
    row = make_file(order=order)
    wrong = (
        {"vehicle": order.vehicle},
        {"order": None},
        {"corner": "LF"},
        {"order": None, "vehicle": order.vehicle, "for_customer": True},
    )
    for values in wrong:
        with pytest.raises(IntegrityError), transaction.atomic():
            StoredFile.objects.filter(pk=row.pk).update(**values)


def test_an_order_page_shows_the_newest_and_says_how_many_more(
    order: WorkOrder, browser: Client
) -> None:
    for _ in range(8):
        make_file(order=order)
    page = browser.get(order.get_absolute_url()).content.decode()
    assert page.count('data-test="file"') == 6
    assert reverse("order_files", args=[order.pk]) in page


def test_a_phone_opens_its_camera(order: WorkOrder, browser: Client) -> None:
    page = browser.get(reverse("order_files", args=[order.pk])).content.decode()
    assert 'capture="environment"' in page
    assert page.count(" multiple") == 2
    assert 'enctype="multipart/form-data"' in page
