"""The customer's signature, and the language of their page."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.languages import speech_of
from shop.models import Quote
from shop.models.texts import language_choices
from shop.orders.services.quoted import read_digest


class LanguageForm(forms.Form):
    """A language of the site."""

    language = forms.ChoiceField(choices=language_choices)


class AuthoriseForm(forms.Form):
    """The customer's signature: a name, a tick, and which quote was read.

    ``number`` and ``digest`` travel with the page: what is signed is what was read.
    """

    number = forms.CharField(label=_("Quote"), widget=forms.HiddenInput, max_length=20)
    digest = forms.CharField(label=_("Quote"), widget=forms.HiddenInput, max_length=64)
    name = forms.CharField(max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"}))
    signed_warning = forms.BooleanField(required=False)
    agree = forms.BooleanField()

    def __init__(self, *args: Any, quote: Quote, **kwargs: Any) -> None:
        initial = {"number": quote.number, "digest": read_digest(quote)}
        kwargs["initial"] = initial | (kwargs.get("initial") or {})
        super().__init__(*args, **kwargs)
        speech = speech_of(quote.order)
        name, agree = self.fields["name"], self.fields["agree"]
        name.label = speech.say("Your full name")
        name.error_messages["required"] = speech.say("Please write your full name.")
        agree.error_messages["required"] = speech.say("Please tick that you authorise the work.")
        if quote.signature_needed:
            self.fields["signed_warning"].label = speech.say(
                "I have read the warning above and want the work done"
            )
        else:
            del self.fields["signed_warning"]
        total = speech.money(quote.total, quote.currency)
        agree.label = speech.say(
            "I authorise the work on this quote for {total}, and have read what it says"
            " about class rules"
            if quote.class_caution
            else "I authorise the work on this quote for {total}",
            total=total,
        )
