"""Writing to an order's customer, and what becomes of it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from shop.models import Mail, MailKind, WorkOrder
from shop.orders.services.access import order_or_404
from shop.outbox.forms import AgainForm, MailForm, ReturnedForm
from shop.outbox.services.queue import mail_again as do_again
from shop.outbox.services.queue import mail_bounced, mail_queue
from shop.outbox.services.queue import mail_withdraw as do_withdraw
from shop.outbox.services.shown import link_context, preview, sent, waiting_quote
from shop.outbox.services.words import link_of
from shop.site.refusals import Refused, refuse
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


@role_required("writer")
@require_http_methods(["GET", "POST"])
def order_mail(request: StaffRequest, pk: int) -> HttpResponse:
    """The customer's link to pass on, an email to write, and those written before."""
    order = order_or_404(pk)
    quote = waiting_quote(order)
    form = MailForm(posted(request), order=order, needs_message=quote is None)
    looks = "look" in request.POST
    if request.method == "POST" and form.is_valid() and not looks:
        try:
            mail = mail_queue(
                order=order,
                kind=MailKind.QUOTE if quote else MailKind.MESSAGE,
                quote=quote,
                to=form.cleaned_data["to"],
                message=form.cleaned_data["message"],
                link=link_of(order, request),
                by=request.user,
            )
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Email to {to} is on its way.").format(to=mail.to))
            return redirect("order_mail", pk=order.pk)
    context = {
        "form": form,
        "quote": quote,
        "preview": preview(order, message=str(form["message"].value() or "")),
        **link_context(request, order),
        **sent(order),
    }
    return render_page(request, "shop/outbox/order_mail.html", context)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def mail_again(request: StaffRequest, pk: int) -> HttpResponse:
    """Send what did not arrive again, to the same address or another."""
    mail, order = _mail_of_order(pk)
    form = AgainForm(posted(request), initial={"to": mail.to})
    if request.method == "POST" and form.is_valid():
        try:
            again = do_again(mail=mail, by=request.user, to=form.cleaned_data["to"])
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Email to {to} is on its way.").format(to=again.to))
            return redirect("order_mail", pk=order.pk)
    context = {"form": form, "mail": mail, "order": order}
    return render_page(request, "shop/outbox/mail_again.html", context)


@role_required("writer")
@require_POST
def mail_withdraw(request: StaffRequest, pk: int) -> HttpResponse:
    mail, order = _mail_of_order(pk)
    try:
        do_withdraw(mail=mail, by=request.user)
    except Refused as refused:
        messages.error(request, refused.reason)
    else:
        messages.success(request, _("The email was taken back and is not sent."))
    return redirect("order_mail", pk=order.pk)


@role_required("writer")
@require_http_methods(["GET", "POST"])
def mail_returned(request: StaffRequest, pk: int) -> HttpResponse:
    """A mail that was sent came back to the shop's mailbox."""
    mail, order = _mail_of_order(pk)
    form = ReturnedForm(posted(request))
    if request.method == "POST" and form.is_valid():
        try:
            mail_bounced(mail=mail, said=form.cleaned_data["said"], by=request.user)
        except Refused as refused:
            refuse(form, refused)
        else:
            messages.success(request, _("Noted. The order shows that the email came back."))
            return redirect("order_mail", pk=order.pk)
    context = {"form": form, "mail": mail, "order": order}
    return render_page(request, "shop/outbox/mail_returned.html", context)


def _mail_of_order(pk: int) -> tuple[Mail, WorkOrder]:
    mail = get_object_or_404(Mail, pk=pk, order__isnull=False)
    return mail, order_or_404(mail.order_id or 0)
