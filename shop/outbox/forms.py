"""Writing to a customer, the shop's own words, and trying the server."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.languages import LANGUAGES, Speech
from shop.models import MailText, WorkOrder
from shop.outbox.data import Words
from shop.outbox.services.words import check_places, own_words
from shop.site.fields import AddressField
from shop.site.joining import JoinedModelForm
from shop.site.refusals import Refused, refuse


class MailForm(forms.Form):
    """To whom, and the words for this customer."""

    to = AddressField(label=_("Email address"))
    message = forms.CharField(
        label=_("Your message"),
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def __init__(self, *args: Any, order: WorkOrder, needs_message: bool, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"to": order.customer.email})
        super().__init__(*args, **kwargs)
        self.fields["message"].required = needs_message


class ReturnedForm(forms.Form):
    said = forms.CharField(
        label=_("What the returned email says"),
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Kept in the log, for example: mailbox full, address unknown."),
    )


class AgainForm(forms.Form):
    to = AddressField(label=_("Email address"))


class TryForm(forms.Form):
    to = AddressField(label=_("Send a test email to"))


class MailTextForm(JoinedModelForm[MailText]):
    """The words of one kind in one language; those of the program are kept as none."""

    class Meta:
        model = MailText
        fields = ("subject", "body")
        widgets: ClassVar = {"body": forms.Textarea(attrs={"rows": 14})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        row = self.instance
        self.own = own_words(row.kind, Speech(LANGUAGES[row.language]))
        self.initial["subject"] = row.subject or self.own.subject
        self.initial["body"] = row.body or self.own.body
        for field in self.fields.values():
            field.help_text = _("Empty: the program's own words.")
            field.widget.attrs["lang"] = row.language

    @property
    def is_edit(self) -> bool:
        """Also before there is a row: the program's words are on record then."""
        return True

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        for name, own in (("subject", self.own.subject), ("body", self.own.body)):
            typed = "\n".join(data.get(name, "").splitlines())
            data[name] = "" if typed.strip() == own.strip() else typed
        try:
            check_places(self.instance.kind, Words(data["subject"], data["body"]))
        except Refused as refused:
            refuse(self, refused)
        return data
