"""Photographs that people upload: told by their first bytes, never by their name.

Only formats that browsers show as pictures are taken, and none is kept as it came: each is drawn
anew, the right way up, so that nothing of what a camera writes beside the picture (place, time,
owner) is kept. What is served later gets its type from the bytes again, so that no upload can
pose as a page.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

from PIL import Image, ImageOps, UnidentifiedImageError

LARGEST_BYTES = 20 * 1024 * 1024
HEAD_BYTES = 32
#: Pixels that a picture may unfold to.
MOST_PIXELS = 80_000_000
#: The longer side of what is kept, in pixels: a tread wear mark can still be read.
LONGEST_PX = 2560
THUMB_PX = 320
JPEG_QUALITY = 88


@dataclass(frozen=True)
class PhotoKind:
    extension: str
    content_type: str


@dataclass(frozen=True)
class Photo:
    """A picture drawn anew, and a small one of it, with nothing beside the pixels."""

    content: bytes
    thumb: bytes
    kind: PhotoKind
    width: int
    height: int


class NoPhoto(ValueError):
    """Not a picture that can be shown; ``reason`` is one of the constants of this class."""

    UNKNOWN = "unknown"
    BROKEN = "broken"
    TOO_LARGE = "too large"

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


JPEG = PhotoKind("jpg", "image/jpeg")
PNG = PhotoKind("png", "image/png")
WEBP = PhotoKind("webp", "image/webp")


def photo_kind(head: bytes) -> PhotoKind | None:
    """The kind of picture that starts with ``head`` (at least 16 bytes), or None."""
    if head[:3] == b"\xff\xd8\xff" and len(head) > 3 and head[3] >= 0xC0:
        return JPEG
    if head[:8] == b"\x89PNG\r\n\x1a\n" and head[12:16] == b"IHDR":
        return PNG
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP" and head[12:15] == b"VP8":
        return WEBP
    return None


def photo_freed(raw: bytes) -> Photo:
    """The picture in ``raw`` drawn anew, the right way up and at most ``LONGEST_PX`` long.

    A PNG stays one, everything else becomes a JPEG. Raises NoPhoto.
    """
    kind = photo_kind(raw[:HEAD_BYTES])
    if kind is None:
        raise NoPhoto(NoPhoto.UNKNOWN)
    try:
        with Image.open(io.BytesIO(raw), formats=("JPEG", "PNG", "WEBP")) as picture:
            if picture.width * picture.height > MOST_PIXELS:
                raise NoPhoto(NoPhoto.TOO_LARGE)
            upright = ImageOps.exif_transpose(picture)
    except Image.DecompressionBombError as error:
        raise NoPhoto(NoPhoto.TOO_LARGE) from error
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError) as error:
        if isinstance(error, NoPhoto):
            raise
        raise NoPhoto(NoPhoto.BROKEN) from error
    kept = PNG if kind == PNG else JPEG
    pixels = upright.convert("RGBA" if kept == PNG else "RGB")
    pixels.thumbnail((LONGEST_PX, LONGEST_PX))
    small = pixels.convert("RGB")
    small.thumbnail((THUMB_PX, THUMB_PX))
    return Photo(_drawn(pixels, kept), _drawn(small, JPEG), kept, pixels.width, pixels.height)


def _drawn(pixels: Image.Image, kind: PhotoKind) -> bytes:
    """The pixels alone: what the picture carried beside them is left behind."""
    bare = Image.new(pixels.mode, pixels.size)
    bare.paste(pixels)
    out = io.BytesIO()
    if kind == PNG:
        bare.save(out, "PNG", optimize=True)
    else:
        bare.save(out, "JPEG", quality=JPEG_QUALITY, optimize=True)
    return out.getvalue()
