"""Files looked at, kept, served and removed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import partial
from pathlib import PurePath
from typing import Any

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.db.models import QuerySet
from django.db.models.fields.files import FieldFile
from django.http import FileResponse, Http404
from django.utils import timezone
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext_lazy

from common.shortened import shortened
from shop.files.data import Incoming, Owner
from shop.models import StoredFile, User, WorkOrder
from shop.orders.services.log import log_write
from shop.site.fields import photo_of
from shop.site.refusals import Refused
from shop.values.first_rows import first_rows
from shop.values.photos import HEAD_BYTES, PhotoKind, photo_kind

#: Bytes of a PDF or a text; photographs have their own limit.
LARGEST_BYTES = 15 * 1024 * 1024
#: Files on the page of a record; the others stand on the page of files.
SHOWN = 6
#: Files that one form may carry.
MOST_AT_ONCE = 20
PDF, TEXT = "application/pdf", "text/plain; charset=utf-8"
TEXT_ENDINGS = ("txt", "csv")
NOT_IN_NAMES = re.compile(r"[\x00-\x1f\x7f\"\\/:*?<>|]+")


def file_read(upload: UploadedFile[Any]) -> Incoming:
    """Look at an upload: a photograph, a PDF or a text, told by its bytes.

    Raises ValidationError with the reason and the file's name.
    """
    name = safe_name(upload.name or "")
    try:
        upload.seek(0)
        if photo_kind(upload.read(HEAD_BYTES)):
            return _photo(upload, name)
        return _other(upload, name)
    except ValidationError as error:
        raise ValidationError(
            _("{name}: {reason}").format(name=name, reason=" ".join(error.messages))
        ) from error


def safe_name(typed: str) -> str:
    """A file's name as people know it, without folders and without what a system reads in it."""
    name = NOT_IN_NAMES.sub("_", PurePath(typed.replace("\\", "/")).name).strip(" .")
    return shortened(name or _("file"), 120)


def _photo(upload: UploadedFile[Any], name: str) -> Incoming:
    photo = photo_of(upload)
    stem = name.rpartition(".")[0] or name
    return Incoming(
        name=f"{shortened(stem, 110)}.{photo.kind.extension}",
        extension=photo.kind.extension,
        content_type=photo.kind.content_type,
        content=photo.content,
        thumb=photo.thumb,
        width_px=photo.width,
        height_px=photo.height,
    )


def _other(upload: UploadedFile[Any], name: str) -> Incoming:
    if (upload.size or 0) > LARGEST_BYTES:
        megabytes = LARGEST_BYTES // (1024 * 1024)
        raise ValidationError(_("larger than {megabytes} MB.").format(megabytes=megabytes))
    upload.seek(0)
    content = upload.read()
    if not content:
        raise ValidationError(_("the file is empty."))
    if content.startswith(b"%PDF-"):
        return Incoming(name, "pdf", PDF, content)
    ending = name.rpartition(".")[2].lower()
    if ending in TEXT_ENDINGS and b"\0" not in content:
        try:
            content.decode("utf-8")
        except UnicodeDecodeError:
            content = content.decode("cp1252", "replace").encode()
        return Incoming(name, ending, TEXT, content)
    raise ValidationError(_("not a JPEG, PNG or WebP picture, a PDF or a text (.txt, .csv)."))


@transaction.atomic
def files_add(
    *,
    owner: Owner,
    files: Sequence[Incoming],
    by: User,
    caption: str = "",
    for_customer: bool = False,
) -> list[StoredFile]:
    """Keep files with what they belong to.

    A transaction that fails afterwards leaves bytes in the folder that no row names.
    """
    rows = []
    for one in files:
        row = StoredFile(
            order=owner.order,
            vehicle=owner.vehicle,
            car_model=owner.car_model,
            corner=owner.corner,
            name=one.name,
            content_type=one.content_type,
            size_bytes=len(one.content),
            width_px=one.width_px,
            height_px=one.height_px,
            caption=caption.strip(),
            for_customer=for_customer and owner.order is not None,
            by=by,
        )
        row.file.save(f"file.{one.extension}", ContentFile(one.content), save=False)
        if one.thumb:
            row.thumb.save("thumb.jpg", ContentFile(one.thumb), save=False)
        row.save()
        rows.append(row)
    if owner.order is not None and rows:
        count = ngettext_lazy("{count} file added", "{count} files added", len(rows))
        log_write(
            order=owner.order,
            by=by,
            what=format_lazy(count, count=len(rows)),
            detail=", ".join(row.name for row in rows),
        )
    return rows


@transaction.atomic
def file_remove(*, file: StoredFile, reason: str, by: User) -> None:
    """Take a file away: its bytes go once the transaction is through, row and reason stay."""
    row = StoredFile.objects.select_for_update().get(pk=file.pk)
    if row.removed_at is not None:
        raise Refused(_("This file was removed already."))
    if not reason.strip():
        raise Refused(_("Enter a reason."), field="reason")
    row.removed_at, row.removed_by, row.removed_because = timezone.now(), by, reason.strip()
    row.for_customer = False
    row.save()
    if row.order is not None:
        what = format_lazy(gettext_lazy("File removed: {name}"), name=row.name)
        log_write(order=row.order, by=by, what=what, detail=row.removed_because)
    storage = row.file.storage
    names = [one.name for one in (row.file, row.thumb) if one and one.name]
    for name in names:
        transaction.on_commit(partial(storage.delete, name))


def files_of(owner: Owner) -> QuerySet[StoredFile]:
    """The files of one record that were not removed, the oldest first."""
    return _all_of(owner).filter(removed_at=None)


def files_shown(owner: Owner) -> Any:
    """The newest of them for the page of a record, with how many ``more`` there are."""
    return first_rows(files_of(owner).order_by("-at", "-pk"), SHOWN)


def removed_of(owner: Owner) -> QuerySet[StoredFile]:
    return _all_of(owner).filter(removed_at__isnull=False).select_related("removed_by")


def _all_of(owner: Owner) -> QuerySet[StoredFile]:
    return StoredFile.objects.filter(
        order=owner.order,
        vehicle=owner.vehicle,
        car_model=owner.car_model,
        corner=owner.corner,
    ).select_related("by")


def files_for_customer(order: WorkOrder) -> QuerySet[StoredFile]:
    """What the customer's page may show of an order."""
    return files_of(Owner(order=order)).filter(for_customer=True)


def kind_stored(field: FieldFile) -> PhotoKind | None:
    """The type of a stored picture by its first bytes; None where it is gone or is none."""
    try:
        with field.open("rb") as content:
            return photo_kind(content.read(HEAD_BYTES))
    except FileNotFoundError:
        return None


def file_response(
    field: FieldFile, *, content_type: str, name: str, shown: bool = False
) -> FileResponse:
    """A stored file to whoever may have it; ``shown`` in the page, or else as a download.

    It can neither pose as another type nor run anything. Raises Http404 where its bytes are gone.
    """
    try:
        content = field.open("rb")
    except FileNotFoundError as error:
        raise Http404 from error
    response = FileResponse(
        content, content_type=content_type, filename=name, as_attachment=not shown
    )
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Content-Security-Policy"] = "default-src 'none'; sandbox"
    response.headers["Cache-Control"] = "private, no-store"
    return response
