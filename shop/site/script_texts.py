"""What the scripts of the pages say to people, in one place and in the language of the page.

``base.html`` puts them into every page as JSON; a script says ``text("restored", { time })``, and
the worker keeps those of the offline page (``static/kept.js``).
"""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

TEXTS = {
    # Drafts, in archroom.js
    "ticked": _("ticked"),
    "notTicked": _("not ticked"),
    "empty": _("empty"),
    "discard": _("Discard"),
    "discarded": _("Draft discarded."),
    "restored": _("Restored what you typed {time}. Not saved yet."),
    "useMine": _("Use mine"),
    "savedAndYours": _("{field}: saved {theirs}, yours {mine}"),
    "yoursInForm": _("Your values are in the form, not saved yet. {differences}."),
    "recordChanged": _(
        "This device has a draft from {time}, but the record has changed since. {differences}."
    ),
    "draftHere": _("Draft on this device, not saved yet."),
    "noStorage": _("This device cannot store drafts. Save before you leave the page."),
    "lost": _(
        "No connection. What you typed is stored on this device. Send it when the connection is "
        "back."
    ),
    "lostButWaits": _(
        "No connection. What you typed is stored on this device. Save as usual: it is sent when "
        "the connection is back."
    ),
    "connectionLost": _(
        "Connection lost. Nothing was changed on the server. Try again in a moment."
    ),
    "serverError": _(
        "The server answered with an error ({status}). Nothing was changed. Reload the page."
    ),
    # Copying, in archroom.js
    "copied": _("Copied"),
    "notCopied": _("Not copied. Select the text and copy it."),
    # The number pad, in entry.js
    "changeSign": _("Change sign: {field}"),
    "allKeys": _("All keys, for minutes and fractions"),
    # A page from this device, in kept.js
    "fromDevice": _(
        "No connection. This page is from {time}; what you type is stored on this device."
    ),
    "stillFromDevice": _("The connection is back. This page is still from {time}."),
    "reload": _("Reload"),
    # Forms that wait to be sent, in outbox.js
    "notAccepted": _("{what}, typed {time}, was not accepted: {why}"),
    "queued": _(
        "{what}, typed {time}, is queued on this device and will be sent when the connection is "
        "back."
    ),
    "open": _("Open"),
    "sendNow": _("Send now"),
    "sent": _("Sent {time}:"),
    "signInAgain": _("sign in again, then open it."),
    "serverAsks": _("the server has a question."),
    "serverRefused": _("the server refused it ({status})."),
    # Two people in one form, in together.js
    "added": _("Added to the form: {fields}."),
    "theirsAndYours": _("{field}: theirs {theirs}, yours {mine}"),
    "different": _("Different: {differences}. Your values stay in the form."),
    # The offline page, in worker.js
    "noConnection": _("No connection"),
    "storedHere": _("This page needs the server. These readings are stored on this device:"),
    "removedHere": _(
        "The pages stored on this device were removed, but you are not signed out at the server "
        "yet. Sign out again when the connection is back."
    ),
}


def script_texts() -> dict[str, str]:
    """The texts in the language that is active."""
    return {name: str(text) for name, text in TEXTS.items()}
