"""Photographs that people upload: told by their first bytes, never by their name.

Only formats that browsers show as pictures are taken. What is served later gets its type from
the bytes again, so that no upload can pose as a page.
"""

from __future__ import annotations

from dataclasses import dataclass

LARGEST_BYTES = 8 * 1024 * 1024
HEAD_BYTES = 32


@dataclass(frozen=True)
class PhotoKind:
    extension: str
    content_type: str


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
