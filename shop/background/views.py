"""Background tasks as people deal with them."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_POST

from shop.background.services import task_cancel as do_task_cancel
from shop.models import BackgroundTask
from shop.site.sending import repeatable
from shop.site.view_helpers import role_required


@role_required()
@require_POST
@repeatable
def task_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask for a task to stop, and go back to where it is followed."""
    task = get_object_or_404(BackgroundTask, pk=pk)
    do_task_cancel(task=task)
    if task.is_over:
        messages.info(request, _("Stopped. What was found so far stays."))
    else:
        messages.info(request, _("It stops in a moment. What was found so far stays."))
    return redirect(task.page)
