"""The email with which a member of staff sets a new password."""

from __future__ import annotations

import datetime as dt

from django.conf import settings
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from shop.background.services import see_to_it
from shop.languages import LANGUAGES, Speech, speech_of_shop
from shop.models import Mail, MailKind, ShopSettings, User

#: One email in this time to one address, however often it is asked for.
NOT_AGAIN_FOR = dt.timedelta(minutes=5)


@transaction.atomic
def password_mail_queue(*, user: User, to: str, uid: str, token: str) -> None:
    """Write the email down. What it says is forgotten once it was sent: it opens an account."""
    lately = timezone.now() - NOT_AGAIN_FOR
    if Mail.objects.filter(kind=MailKind.PASSWORD, to=to, at__gte=lately).exists():
        return
    speech = Speech(LANGUAGES[user.language]) if user.language in LANGUAGES else speech_of_shop()
    path = reverse("password_new", kwargs={"uidb64": uid, "token": token})
    Mail.objects.create(
        kind=MailKind.PASSWORD,
        to=to,
        subject=speech.say("New password for {shop}", shop=ShopSettings.load().name),
        body=speech.say(
            "Hello {name},\n\non this page you choose a new password for {user}:\n{link}\n\n"
            "If you did not ask for it, do nothing: your password stays as it is.\n",
            name=user.shown_name,
            user=user.username,
            link=f"{settings.SITE_URL}{path}",
        ),
        language=speech.language.code,
    )
    transaction.on_commit(see_to_it)
