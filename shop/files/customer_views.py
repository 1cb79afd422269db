"""Files that the shop marked for a customer, on their link."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponseBase
from django.views.decorators.http import require_GET

from shop.files.services import file_response, files_for_customer
from shop.models import StoredFile, WorkOrder
from shop.site.view_helpers import customer_token
from shop.values.photos import JPEG


@customer_token
@require_GET
def customer_file(request: HttpRequest, order: WorkOrder, pk: int) -> HttpResponseBase:
    row = _of_customer(order, pk)
    return file_response(row.file, content_type=row.content_type, name=row.name, shown=row.is_photo)


@customer_token
@require_GET
def customer_file_thumb(request: HttpRequest, order: WorkOrder, pk: int) -> HttpResponseBase:
    row = _of_customer(order, pk)
    if not row.thumb:
        raise Http404
    return file_response(row.thumb, content_type=JPEG.content_type, name="thumb.jpg", shown=True)


def _of_customer(order: WorkOrder, pk: int) -> StoredFile:
    row = files_for_customer(order).filter(pk=pk).first()
    if row is None:
        raise Http404
    return row
