"""Feeds: their addresses for those who may see them, and the feed itself for who has its secret."""

from __future__ import annotations

import secrets

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.cache import patch_cache_control
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_POST

from shop.calendar.feed import calendar_of
from shop.calendar.proposals import technicians
from shop.models import Bay, CalendarFeed
from shop.models.feeds import new_secret
from shop.site.view_helpers import StaffRequest, render_page, role_required


class FeedForm(forms.Form):
    """Whose appointments: a bay's, or a person's."""

    bay = forms.ModelChoiceField(Bay.objects.all(), required=False, label=gettext_lazy("Bay"))
    person = forms.IntegerField(required=False, label=gettext_lazy("Person"))


@role_required()
@require_GET
def feeds(request: StaffRequest) -> HttpResponse:
    """One's own feed; for a manager those of every bay and person."""
    manager = request.user.is_manager
    people = technicians() if manager else [request.user]
    bays = list(Bay.objects.all()) if manager else []
    kept = {(one.bay_id, one.person_id): one for one in CalendarFeed.objects.all()}
    rows = [
        {
            "owner": owner,
            "field": "bay" if isinstance(owner, Bay) else "person",
            "feed": feed,
            "address": _address(request, feed) if feed else "",
        }
        for owner in [*bays, *people]
        for feed in [kept.get((owner.pk, None) if isinstance(owner, Bay) else (None, owner.pk))]
    ]
    return render_page(request, "shop/feeds.html", {"rows": rows})


def _address(request: HttpRequest, feed: CalendarFeed) -> str:
    return request.build_absolute_uri(reverse("feed", args=[feed.pk, feed.secret]))


@role_required()
@require_POST
def feed_new(request: StaffRequest) -> HttpResponse:
    """Open a feed of oneself, or as a manager of any bay or person."""
    form = FeedForm(request.POST)
    data = form.cleaned_data if form.is_valid() else {}
    bay, person = data.get("bay"), data.get("person")
    if bay is None and person is None:
        messages.error(request, _("Choose a bay or a person."))
        return redirect("feeds")
    manager = request.user.is_manager
    if bay is not None and manager:
        CalendarFeed.objects.get_or_create(bay=bay)
    else:
        people = [request.user, *(technicians() if manager else [])]
        owner = next((one for one in people if one.pk == person), None)
        if owner is None:
            raise Http404
        CalendarFeed.objects.get_or_create(person=owner)
    messages.success(request, _("The feed is open. Keep its address to yourself."))
    return redirect("feeds")


def _own_or_404(request: StaffRequest, pk: int) -> CalendarFeed:
    """A feed that this person may change: that of another one is not said to exist."""
    feeds = CalendarFeed.objects.all()
    if not request.user.is_manager:
        feeds = feeds.filter(person=request.user)
    return get_object_or_404(feeds, pk=pk)


@role_required()
@require_POST
def feed_renew(request: StaffRequest, pk: int) -> HttpResponse:
    """Another secret: the address that was known opens nothing any more."""
    feed = _own_or_404(request, pk)
    feed.secret = new_secret()
    feed.save()
    messages.success(request, _("The feed has another address. The old one no longer works."))
    return redirect("feeds")


@role_required()
@require_POST
def feed_end(request: StaffRequest, pk: int) -> HttpResponse:
    _own_or_404(request, pk).delete()
    messages.success(request, _("The feed is closed."))
    return redirect("feeds")


@require_GET
def feed(request: HttpRequest, pk: int, token: str) -> HttpResponse:
    """The appointments, for whoever has the address; without the right secret nothing is there."""
    found = CalendarFeed.objects.select_related("bay", "person").filter(pk=pk).first()
    known = found.secret if found is not None else ""
    right = secrets.compare_digest(known.encode(), token.encode("utf-8", "surrogatepass"))
    if found is None or not right or (found.person is not None and not found.person.is_active):
        raise Http404
    response = HttpResponse(
        calendar_of(found, request.get_host()), content_type="text/calendar; charset=utf-8"
    )
    response.headers["Content-Disposition"] = 'inline; filename="appointments.ics"'
    response.headers["X-Robots-Tag"] = "noindex, nofollow"
    patch_cache_control(response, private=True, no_store=True)
    return response
