"""A comeback with a photograph: only pictures are taken, and they leave as pictures."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from shop.extensions.points import ORDER_ANSWERS
from shop.models import Comeback, State
from shop.values import photos
from shop.values.photos import photo_kind
from tests.factories import make_order
from tests.photographs import photograph, place_in

PNG = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + b"\0" * 32
JPEG = b"\xff\xd8\xff\xe0\x00\x10JFIF" + b"\0" * 32
WEBP = b"RIFF\x24\x00\x00\x00WEBPVP8 " + b"\0" * 32


@pytest.mark.parametrize(
    ("head", "content_type"), [(PNG, "image/png"), (JPEG, "image/jpeg"), (WEBP, "image/webp")]
)
def test_pictures_are_recognised_by_their_first_bytes(head, content_type) -> None:
    assert photo_kind(head).content_type == content_type


@pytest.mark.parametrize(
    "head",
    [
        b"",
        b"GIF89a" + b"\0" * 20,
        b"<svg xmlns='http://www.w3.org/2000/svg'>",
        b"<!doctype html><script>",
        b"\x89PNG\r\n\x1a\n" + b"\0" * 20,
        b"RIFF\x24\x00\x00\x00WAVEfmt " + b"\0" * 20,
        b"\xff\xd8",
        b"%PDF-1.7",
    ],
)
def test_everything_else_is_no_picture(head) -> None:
    assert photo_kind(head) is None


@pytest.fixture
def first(db, settings, swap_plugs, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    swap_plugs(ORDER_ANSWERS)
    return make_order(state=State.HANDED_OVER)


def send(client, first, upload=None, **values):
    data = {"corner": "LF", "place": "arch lip", "happens": "dip", "description": "It rubs"}
    data |= values
    if upload is not None:
        data["photo"] = upload
    return client.post(reverse("comeback_new", args=[first.pk]), data)


def test_a_picture_is_kept_under_a_name_that_cannot_be_guessed(
    first, writer, client_of, tmp_path
) -> None:
    client = client_of(writer)
    send(client, first, SimpleUploadedFile("../../evil.html", photograph("PNG"), "text/html"))
    comeback = Comeback.objects.get()
    assert comeback.photo.name.startswith("comebacks/")
    assert comeback.photo.name.endswith(".png")
    assert "evil" not in comeback.photo.name
    answer = client.get(reverse("comeback_photo", args=[comeback.order_id]))
    assert answer.headers["Content-Type"] == "image/png"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    content = b"".join(answer.streaming_content)
    assert photo_kind(content) == photos.PNG
    assert place_in(photograph("PNG"))
    assert not place_in(content)


@pytest.mark.parametrize("content", [b"<script>alert(1)</script>", b"GIF89a" + b"\0" * 40])
def test_what_is_no_picture_is_refused_and_the_words_are_kept(
    content, first, writer, client_of
) -> None:
    answer = send(client_of(writer), first, SimpleUploadedFile("photo.jpg", content, "image/jpeg"))
    page = answer.content.decode()
    assert "Not a JPEG, PNG or WebP picture" in page
    assert "It rubs" in page
    assert not Comeback.objects.exists()


def test_a_picture_that_is_too_large_is_refused(first, writer, client_of, monkeypatch) -> None:
    monkeypatch.setattr("shop.site.fields.LARGEST_BYTES", 64)
    big = SimpleUploadedFile("photo.png", PNG + b"\0" * 100, "image/png")
    assert "larger than" in send(client_of(writer), first, big).content.decode()
    assert photos.LARGEST_BYTES == 20 * 1024 * 1024


def test_a_file_that_was_changed_behind_the_app_is_not_served(first, writer, client_of) -> None:
    client = client_of(writer)
    send(client, first, SimpleUploadedFile("photo.png", photograph("PNG"), "image/png"))
    comeback = Comeback.objects.get()
    with comeback.photo.storage.open(comeback.photo.name, "wb") as file:
        file.write(b"<script>alert(1)</script>")
    url = reverse("comeback_photo", args=[comeback.order_id])
    assert client.get(url).status_code == 404


def test_a_stranger_sees_no_picture(first, writer, client_of, stranger) -> None:
    send(client_of(writer), first, SimpleUploadedFile("photo.png", photograph("PNG"), "image/png"))
    url = reverse("comeback_photo", args=[Comeback.objects.get().order_id])
    assert stranger.get(url).status_code == 302


def test_only_the_manager_is_led_to_what_was_predicted(first, writer, manager, client_of) -> None:
    send(client_of(writer), first)
    page = Comeback.objects.get().order.get_absolute_url()
    predicted = reverse("comeback_list")
    note = f'<a href="{predicted}">Compare with the prediction</a>'
    assert note in client_of(manager).get(page).content.decode()
    assert note not in client_of(writer).get(page).content.decode()
