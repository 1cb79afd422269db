"""What views share: who may come in, and whether to send a page or a part of one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import wraps
from typing import TYPE_CHECKING, Any

from django.apps import apps
from django.conf import settings
from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, QueryDict
from django.shortcuts import render
from django.template import TemplateDoesNotExist
from django.template.loader import get_template
from django.utils.cache import patch_cache_control, patch_vary_headers
from django.utils.translation import get_language

from common.verdicts import GateResult
from shop.languages import language_tag, speech_of
from shop.site.error_views import link_unknown
from shop.site.template_values import Members

if TYPE_CHECKING:
    from shop.models import User

View = Callable[..., HttpResponseBase]
#: For the worker on the device (static/worker.js): whose page it is, and that it may be kept.
USER_HEADER, KEEP_HEADER = "Archroom-User", "Archroom-Keep"
#: Rows on a page of a list.
PAGE = 25
HTMX_HEADERS = ("HX-Request", "HX-Boosted", "HX-History-Restore-Request")


class StaffRequest(HttpRequest):
    """A request as :func:`role_required` passes it on: its user is signed in."""

    user: User


def has_role(user: Any, *roles: str) -> bool:
    """Whether a user acts in one of the roles; a manager acts in all of them."""
    if not user.is_authenticated or not user.is_active:
        return False
    return user.is_manager or user.role in roles


def role_required(*roles: str) -> Callable[[View], View]:
    """Let in signed-in people of these roles; with no role named, all who are signed in.

    A stranger is sent to sign in; a colleague without the role is refused with 403.
    """

    def decorate(view: View) -> View:
        @wraps(view)
        def guarded(request: StaffRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if roles and not has_role(request.user, *roles):
                raise PermissionDenied
            response = view(request, *args, **kwargs)
            response.headers[USER_HEADER] = str(request.user.pk)
            return response

        return login_required(guarded)

    return decorate


def kept_on_device(view: View) -> View:
    """Let the device keep the page while the same user is signed in, for a lost connection."""

    @wraps(view)
    def kept(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        request.kept_on_device = True  # type: ignore[attr-defined]
        response = view(request, *args, **kwargs)
        response.headers[KEEP_HEADER] = "yes"
        return response

    return kept


def customer_token(view: View) -> View:
    """Turn the token of a customer's link into its order: ``view(request, order, …)``.

    The page is in the customer's language; an unknown token is a page that does not exist.
    Nothing of the answer may be stored on the way, and the address, which is a secret, is not
    told to other sites.
    """

    @wraps(view)
    def opened(request: HttpRequest, token: str, *args: Any, **kwargs: Any) -> HttpResponseBase:
        orders = apps.get_model("shop", "WorkOrder")._default_manager
        order = (
            orders.select_related("customer", "vehicle", "class_record").filter(token=token).first()
        )
        if order is None:
            return link_unknown(request)
        with speech_of(order).active():
            try:
                response = view(request, order, *args, **kwargs)
            except Http404:
                response = link_unknown(request)
            response.headers["Content-Language"] = language_tag(get_language() or "")
        # The link goes to no other site. "no-referrer" would make browsers call the origin of
        # the customer's own signature "null", and the form would be refused.
        response.headers["Referrer-Policy"] = "same-origin"
        response.headers["X-Robots-Tag"] = "noindex, nofollow"
        patch_cache_control(response, private=True, no_store=True)
        return response

    return opened


def is_fragment(request: HttpRequest) -> bool:
    """Whether htmx asked for a part: not a boosted link, and not a page out of the history."""
    htmx = getattr(request, "htmx", None)
    if not htmx:
        return False
    return not htmx.boosted and not htmx.history_restore_request


def render_page(
    request: HttpRequest,
    template: str,
    context: Mapping[str, Any] | None = None,
    *,
    fragment: str = "main",
    status: int | None = None,
) -> HttpResponse:
    """The whole page, or its partial named ``fragment`` when htmx asked for a part.

    The template marks the part with ``{% partialdef main inline %}``. A template without one
    is always sent whole.
    """
    name = template
    if is_fragment(request) and has_partial(template, fragment):
        name = f"{template}#{fragment}"
    response = render(request, name, dict(context or {}), status=status)
    patch_vary_headers(response, HTMX_HEADERS)
    return response


def has_partial(template: str, fragment: str) -> bool:
    """Whether a template defines this partial."""
    try:
        get_template(f"{template}#{fragment}")
    except TemplateDoesNotExist:
        return False
    return True


def client_address(request: HttpRequest) -> str:
    """Where a request comes from, for the throttle of sign-ins.

    Each of our own proxies appends the address it saw, so only that many entries from the right
    of ``X-Forwarded-For`` are believed; the rest comes from the visitor.
    """
    seen = [part.strip() for part in request.META.get("HTTP_X_FORWARDED_FOR", "").split(",")]
    if settings.PROXY_COUNT and len(seen) >= settings.PROXY_COUNT and seen[-settings.PROXY_COUNT]:
        return str(seen[-settings.PROXY_COUNT])
    return str(request.META.get("REMOTE_ADDR", ""))


def site(request: HttpRequest) -> dict[str, Any]:
    """Context of every page: who looks, and the shop's own name."""
    user = getattr(request, "user", None)
    known = user is not None and user.is_authenticated
    return {
        "is_writer": known and has_role(user, "writer"),
        "is_technician": known and has_role(user, "technician"),
        "is_manager": known and has_role(user),
        "version": settings.VERSION,
        "debug_site": settings.DEBUG,
        "GateResult": Members(GateResult),
    }


def posted(request: HttpRequest) -> QueryDict | None:
    """What was sent, also when it is empty; None for a page that is only looked at."""
    return request.POST if request.method == "POST" else None


def page_of(request: HttpRequest, rows: Any) -> Any:
    """The page of a list that an address asks for."""
    return Paginator(rows, PAGE).get_page(request.GET.get("page"))
