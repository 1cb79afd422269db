"""Photographs as cameras write them: with a place, a time, and on their side."""

from __future__ import annotations

import io

from PIL import Image
from PIL.ExifTags import GPS, IFD, Base

#: A place on record nowhere else, as degrees, minutes and seconds.
LATITUDE, LONGITUDE = (47.0, 11.0, 22.0), (8.0, 33.0, 44.0)
CAMERA = "Camera of Nadir Quell"
LYING = 6  # to be turned a quarter to the right


def photograph(form: str = "JPEG", size: tuple[int, int] = (60, 30), orientation: int = 1) -> bytes:
    """A picture, its left half red and its right half blue, with all that a camera adds."""
    picture = Image.new("RGB", size, (255, 0, 0))
    picture.paste((0, 0, 255), (size[0] // 2, 0, size[0], size[1]))
    exif = picture.getexif()
    exif[Base.Make] = CAMERA
    exif[Base.Orientation] = orientation
    places = exif.get_ifd(IFD.GPSInfo)
    places[GPS.GPSLatitudeRef], places[GPS.GPSLatitude] = "N", LATITUDE
    places[GPS.GPSLongitudeRef], places[GPS.GPSLongitude] = "E", LONGITUDE
    out = io.BytesIO()
    picture.save(out, form, exif=exif)
    return out.getvalue()


def place_in(content: bytes) -> dict[int, object]:
    """The place that a picture tells."""
    with Image.open(io.BytesIO(content)) as picture:
        return dict(picture.getexif().get_ifd(IFD.GPSInfo))
