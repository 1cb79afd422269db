"""The mail server, tried by hand, and the shop's own words."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from shop.models import MailKind, MailText, ShopSettings
from shop.models.mail import TROUBLED, Mail, new_message_id
from shop.models.texts import language_choices
from shop.outbox.forms import MailTextForm, TryForm
from shop.outbox.services.server import hand_over, has_server, message_for, server_named
from shop.outbox.services.words import OWN, PLACES
from shop.site.sending import long_work
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required
from shop.values.first_rows import first_rows

#: Rows of mail in trouble on the page.
SHOWN = 20


@role_required("manager")
@require_GET
def mail_settings(request: StaffRequest) -> HttpResponse:
    return _page(request, TryForm(initial={"to": request.user.email}))


@role_required("manager")
@require_POST
@long_work
def mail_try(request: StaffRequest) -> HttpResponse:
    """Send a test mail now, and show what the server answers."""
    form = TryForm(request.POST)
    if not form.is_valid():
        return _page(request, form)
    shop = ShopSettings.load()
    handed = hand_over(
        message_for(
            to=form.cleaned_data["to"],
            subject=_("Test email from {shop}").format(shop=shop.name),
            body=_("This email shows that the shop's mail server works."),
            message_id=new_message_id(),
        )
    )
    answer = _("The server answered: {answer}").format(answer=handed.said)
    if handed.is_taken:
        messages.success(request, answer)
    else:
        messages.error(request, answer)
    return redirect("mail_settings")


@role_required("manager")
@require_http_methods(["GET", "POST"])
def mail_text(request: StaffRequest, kind: str, language: str) -> HttpResponse:
    """The shop's words for one kind of email in one language."""
    languages = dict(language_choices())
    if kind not in OWN or language not in languages:
        raise Http404
    rows = MailText.objects.filter(kind=kind, language=language)
    if request.method == "POST":
        MailText.objects.get_or_create(kind=kind, language=language)
        rows = rows.select_for_update()
    row = rows.first() or MailText(kind=kind, language=language)
    form = MailTextForm(posted(request), instance=row)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("Saved. Emails already written are unchanged."))
        return redirect("mail_settings")
    context = {
        "form": form,
        "kind": MailKind(kind).label,
        "language": languages[language],
        "places": [(f"{{{name}}}", _(what)) for name, what in PLACES.items()],
    }
    return render_page(request, "shop/outbox/mail_text.html", context)


def _page(request: StaffRequest, form: TryForm) -> HttpResponse:
    own = set(MailText.objects.exclude(subject="", body="").values_list("kind", "language"))
    texts = [
        {
            "kind": kind,
            "label": MailKind(kind).label,
            "languages": [
                {"code": code, "name": name, "is_own": (kind, code) in own}
                for code, name in language_choices()
            ],
        }
        for kind in OWN
    ]
    troubles = Mail.objects.filter(state__in=TROUBLED, order__isnull=False).select_related("order")
    context = {
        "form": form,
        "has_server": has_server(),
        "server": server_named(),
        "texts": texts,
        "troubles": first_rows(troubles, SHOWN),
        "waiting": Mail.objects.filter(state="waiting").count(),
        "shop": ShopSettings.load(),
    }
    return render_page(request, "shop/outbox/mail_settings.html", context)
