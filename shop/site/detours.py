"""Detours of a form: what was typed waits on the server until the person comes back.

A form that lacks a row, such as a car model that is not on record yet, sends itself with
``detour``. :func:`detour_begin` keeps what was typed in the person's session and leads to the page
that makes the row; that page, once it is done, goes to :func:`way_back` with the new row's number.
The form begins again with what was typed (:func:`take_draft`). Nothing of it needs a script, and
an address that is not of this site is never followed.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import parse_qsl, urlencode, urlsplit, urlunsplit

from django import forms
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect
from django.urls import Resolver404, resolve
from django.utils.http import url_has_allowed_host_and_scheme

from shop.site.sending import KEY, KEY_FORM, NOT_SAID, new_key

DETOUR = "detour"
DRAFT = "draft"
NEXT = "next"
IN_SESSION = "drafts"
#: As many drafts wait for one person; a further one takes the place of the oldest.
MOST = 8
#: Longer forms are not kept in a session.
LONGEST = 60_000


def safe_next(request: HttpRequest) -> str:
    """The page of this site that an address names to go back to; empty for any other."""
    wanted = request.GET.get(NEXT, "")
    if not wanted.startswith("/") or not url_has_allowed_host_and_scheme(
        wanted, allowed_hosts=None, require_https=request.is_secure()
    ):
        return ""
    try:
        resolve(urlsplit(wanted).path)
    except Resolver404:
        return ""
    return wanted


def with_query(address: str, **values: object) -> str:
    """An address of this site with these values in its query, each once."""
    parts = urlsplit(address)
    kept = [(name, value) for name, value in parse_qsl(parts.query) if name not in values]
    query = urlencode([*kept, *((name, str(value)) for name, value in values.items())])
    return urlunsplit(("", "", parts.path, query, ""))


def detour_begin(request: HttpRequest, to: str, **values: object) -> HttpResponse:
    """Keep the form that was sent and lead to ``to``, which comes back here."""
    key = _keep(request)
    back = with_query(request.get_full_path(), **{DRAFT: key})
    return redirect(with_query(to, **values, **{NEXT: back}))


def way_back(request: HttpRequest, **made: object) -> str:
    """Where a page that made a row goes back to, with the row's number; empty for no detour."""
    back = safe_next(request)
    return with_query(back, **made) if back else ""


def draft_of(request: HttpRequest) -> QueryDict | None:
    """What was typed before the detour; None where nothing waits."""
    kept = request.session.get(IN_SESSION, {}).get(request.GET.get(DRAFT, ""))
    return None if kept is None else QueryDict(kept)


def take_draft(
    form: forms.BaseForm, request: HttpRequest, made: Mapping[str, Any] | None = None
) -> bool:
    """Begin a form with what was typed before a detour and with what the detour ``made``, by
    field. Answers whether there was something."""
    draft = draft_of(request)
    typed: dict[str, Any] = {}
    if draft is not None and not form.is_bound:
        for name, field in form.fields.items():
            typed[name] = field.widget.value_from_datadict(draft, {}, form.add_prefix(name))
    typed |= {name: value for name, value in (made or {}).items() if name in form.fields}
    if typed and not form.is_bound:
        on_record = {name: form.get_initial_for_field(form.fields[name], name) for name in typed}
        form.on_record = {**getattr(form, "on_record", {}), **on_record}  # type: ignore[attr-defined]
        form.initial.update(typed)
    return draft is not None


def _keep(request: HttpRequest) -> str:
    """Keep what was sent; the form's own key names it, so that going back and forth keeps one."""
    key = request.POST.get(KEY, "")
    key = key if KEY_FORM.fullmatch(key) else new_key()
    typed = QueryDict(mutable=True)
    for name, values in request.POST.lists():
        if name not in NOT_SAID and name not in (KEY, DETOUR):
            typed.setlist(name, values)
    text = typed.urlencode()
    drafts = dict(request.session.get(IN_SESSION, {}))
    drafts.pop(key, None)
    if len(text) <= LONGEST:
        drafts[key] = text
    while len(drafts) > MOST:
        drafts.pop(next(iter(drafts)))
    request.session[IN_SESSION] = drafts
    return key
