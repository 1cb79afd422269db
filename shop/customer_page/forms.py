"""The customer's signature, and the language of their page."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.languages import speech_of
from shop.models import Quote, WorkOrder
from shop.models.texts import language_choices
from shop.orders.services.quoted import read_digest

#: Characters of what a customer or the shop writes on the page.
LONGEST_TEXT = 2000


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


class ReadQuoteForm(forms.Form):
    """An answer to a quote: which one was read travels with the page."""

    number = forms.CharField(widget=forms.HiddenInput, max_length=20)

    def __init__(self, *args: Any, quote: Quote, **kwargs: Any) -> None:
        kwargs["initial"] = {"number": quote.number} | (kwargs.get("initial") or {})
        super().__init__(*args, **kwargs)
        self.quote = quote


class DeclineForm(ReadQuoteForm):
    """The customer's no, with a reason where they give one."""

    reason = forms.CharField(
        label=_("Your reason"),
        required=False,
        max_length=LONGEST_TEXT,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "decline_%s"} | kwargs)
        speech = speech_of(self.quote.order)
        self.fields["reason"].label = speech.say("What keeps you from it?")


class ChooseForm(ReadQuoteForm):
    """Another option than the one that the quote is for, by its letter."""

    option = forms.CharField(label=_("Option"), max_length=4)


class QuestionForm(forms.Form):
    """A question of the customer."""

    text = forms.CharField(
        label=_("Your question"),
        max_length=LONGEST_TEXT,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args: Any, order: WorkOrder, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "ask_%s"} | kwargs)
        speech = speech_of(order)
        text = self.fields["text"]
        text.label = speech.say("Your question")
        text.error_messages["required"] = speech.say("Please write your question.")


class ReplyForm(forms.Form):
    """The shop's reply to a question, which the customer reads on their page."""

    text = forms.CharField(
        label=_("Reply"),
        max_length=LONGEST_TEXT,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": _("Write a reply first.")},
    )

    def __init__(self, *args: Any, pk: int, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": f"reply_{pk}_%s"} | kwargs)
