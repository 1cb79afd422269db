"""Numbers, money, dates and the header's links; every template has them without loading.

Numbers have the decimal mark of the active language, the minus sign U+2212 and a narrow no-break
space before a unit, so that a column lines up and no line breaks inside a measure. ``None``
becomes an en dash: not read.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from django import template
from django.conf import settings
from django.core.paginator import Page
from django.template.defaulttags import CsrfTokenNode
from django.urls import NoReverseMatch, reverse
from django.utils.html import escape, format_html, json_script
from django.utils.safestring import SafeString
from django.utils.text import slugify
from django.utils.translation import get_language, gettext

from shop.extensions.points import NAVIGATION, PAGE_HELP
from shop.languages import Speech, dates, formatting, speech_of, speech_of_page
from shop.languages import language_tag as tag_of
from shop.languages.figures import decimal_mark
from shop.languages.formatting import NOT_READ, decimal_of, with_unit
from shop.languages.own_words import OWN_WORDS
from shop.site.script_texts import script_texts
from shop.site.sending import KEY, new_key
from shop.site.view_helpers import has_role

register = template.Library()


@register.simple_tag(takes_context=True)
def csrf_token(context: template.Context) -> SafeString:
    """Django's token, and a key of its own for each form, by which it counts as one when it is
    sent twice (``shop.site.sending``). Drafts carry the key."""
    key = format_html('<input type="hidden" name="{}" value="{}" data-carry>', KEY, new_key())
    return SafeString(CsrfTokenNode().render(context)) + key


@register.filter
def number(value: Any, decimals: int = 1) -> str:
    """``4.2``, ``4,2``; a sign only below zero."""
    return formatting.number(value, int(decimals), point=decimal_mark())


@register.filter
def signed(value: Any, decimals: int = 1) -> str:
    """``+4.2``, ``−4.2``, ``0.0``."""
    return formatting.number(value, int(decimals), signed=True, point=decimal_mark())


@register.filter
def mm(value: Any, decimals: int = 1) -> str:
    """``4.2 mm``; whole millimetres with ``|mm:0``."""
    return with_unit(number(value, decimals), "mm")


@register.filter
def signed_mm(value: Any, decimals: int = 1) -> str:
    """``+4.2 mm``."""
    return with_unit(signed(value, decimals), "mm")


@register.filter
def degrees(value: Any, decimals: int = 2) -> str:
    """``−2.50°``, always with its sign."""
    written = signed(value, decimals)
    return written if written == NOT_READ else f"{written}°"


@register.filter
def minutes(value: Any) -> str:
    """Degrees as ``−2°30′``, always with its sign, to the nearest minute."""
    return formatting.minutes(value)


@register.filter
def percent(value: Any, decimals: int = 0) -> str:
    """A share of one as ``12 %``."""
    share = decimal_of(value)
    return with_unit(number(None if share is None else 100 * share, decimals), "%")


@register.filter
def quantity(value: Any) -> str:
    """A count or hours without idle zeros: ``2``, ``1.5``, ``1,5``."""
    return formatting.plain(value, point=decimal_mark())


@register.filter
def money(value: Any, currency: str = "") -> str:
    """``€1 234.50``, ``1 234,50 €``; without a currency, the shop's own."""
    return speech_of_page().money(value, currency or _shop_currency())


def _shop_currency() -> str:
    from django.core.cache import cache

    code = cache.get("shop.currency")
    if code is None:
        from shop.models import ShopSettings

        code = ShopSettings.objects.values_list("currency", flat=True).first() or "EUR"
        cache.set("shop.currency", code, 60)
    return str(code)


@register.filter
def dialled(value: str) -> str:
    """A telephone number as a link dials it: its digits, with a plus in front where it has one."""
    digits = "".join(one for one in value if one in "0123456789")
    return f"+{digits}" if value.strip().startswith("+") else digits


@register.filter
def day(value: date | datetime | None) -> str:
    """``Wed 25 Nov 2026``, in the shop's time zone and the page's language."""
    return dates.short_day(value) if value else NOT_READ


@register.filter
def moment(value: datetime | None) -> str:
    """``Wed 25 Nov 2026, 14:05``, in the shop's time zone and the page's language."""
    return dates.short_moment(value) if value else NOT_READ


@register.filter
def clock(value: datetime | None) -> str:
    """``14:05``, in the shop's time zone and the page's language."""
    return dates.clock(value) if value else NOT_READ


@register.filter
def duration(value: timedelta) -> str:
    """``3 h 30 min``, ``45 min``."""
    hours, minutes = divmod(int(value.total_seconds()) // 60, 60)
    parts = [f"{hours}\u202fh"] if hours else []
    return " ".join(parts + ([f"{minutes}\u202fmin"] if minutes or not hours else []))


@register.filter
def get(mapping: Mapping[Any, Any] | None, key: Any) -> Any:
    """``mapping[key]`` or nothing."""
    return mapping.get(key) if mapping else None


@register.filter
def said(value: Any) -> str:
    """A word of the program, or of the shop where the catalogue has it, in the page's language."""
    return speech_of_page().may_say(str(value or ""))


@register.filter
def verdict_slug(value: str) -> str:
    """The verdict as a class name: ``out of reach`` becomes ``out-of-reach``."""
    return str(value or "").strip().lower().replace(" ", "-").replace("_", "-")


@register.simple_tag
def field_groups(form: Any) -> list[tuple[str, list[Any]]]:
    """The visible fields of a form in groups: its ``fieldsets``, then the remaining fields."""
    groups: list[tuple[str, list[Any]]] = []
    seen: set[str] = set()
    for legend, names in getattr(form, "fieldsets", None) or ():
        fields = [form[name] for name in names if name in form.fields]
        seen.update(field.name for field in fields)
        fields = [field for field in fields if not field.is_hidden]
        if fields:
            groups.append((legend, fields))
    rest = [field for field in form.visible_fields() if field.name not in seen]
    if rest:
        groups.append(("", rest))
    return groups


@register.inclusion_tag("shared/navigation.html", takes_context=True)
def navigation(context: template.Context) -> dict[str, Any]:
    """The header's links that this person may follow."""
    request = context.get("request")
    user = getattr(request, "user", None)
    here = getattr(request, "path", "")
    groups: dict[str, list[dict[str, Any]]] = {}
    for link in NAVIGATION:
        if user is None or (link.roles and not has_role(user, *link.roles)):
            continue
        try:
            url = reverse(link.address)
        except NoReverseMatch:
            continue
        entry = {"url": url, "words": link.words, "here": url == here}
        groups.setdefault(link.group, []).append(entry)
    return {"groups": [{"legend": name, "links": links} for name, links in groups.items()]}


@register.inclusion_tag("shared/page_help.html", takes_context=True)
def page_help(context: template.Context) -> dict[str, Any]:
    """The "?" of the page that is shown; nothing where its route has no help."""
    match = getattr(context.get("request"), "resolver_match", None)
    name = match.url_name if match else ""
    found = next((page for page in PAGE_HELP if name in page.routes), None)
    words = [OWN_WORDS[word] for word in found.words] if found else []
    return {"help": found, "words": words}


@register.simple_tag(takes_context=True)
def term(context: template.Context, word: str, shown: str = "") -> SafeString:
    """One of the product's own words: at its first use on a page a button that explains it,
    later the word alone. It needs no script."""
    name, said = OWN_WORDS[word]
    text = shown or gettext(name)
    page: Any = vars(context["request"]) if "request" in context else context.render_context
    seen: set[str] = page.setdefault("words_explained", set())
    if word in seen:
        return SafeString(escape(text))
    seen.add(word)
    return format_html(
        '<button type="button" class="term" popovertarget="term-{0}">{1}</button>'
        '<span class="term-said" id="term-{0}" popover>{2}</span>',
        slugify(word),
        text,
        gettext(said),
    )


@register.simple_tag(takes_context=True)
def page_url(context: template.Context, page: Page[Any] | int | None) -> str:
    """The present address with another ``page``."""
    request = context["request"]
    query = request.GET.copy()
    query["page"] = str(page)
    return f"{request.path}?{query.urlencode()}"


@register.simple_tag(name="script_texts")
def texts_of_scripts() -> SafeString:
    """What scripts say to people, as JSON for them to read."""
    return json_script(script_texts(), "texts")


@register.simple_tag
def language_tag() -> str:
    """The language that is active, for ``lang``: ``en-GB``."""
    return tag_of(get_language() or settings.LANGUAGE_CODE)


# What customers read, in their language: the speech of the order that the page is about.


def _speech(context: template.Context) -> Speech:
    return context.get("speech") or speech_of(context.get("order"))


@register.simple_tag(takes_context=True)
def say_label(context: template.Context, label: Any) -> str:
    """A word that the catalogue may have, as a quote keeps it: ``front``, ``contact``."""
    return _speech(context).may_say(str(label))


@register.simple_tag(takes_context=True)
def say_discount(context: template.Context, discount: str, currency: str) -> str:
    """A discount as a quote keeps it, ``10 %`` or an amount, in the reader's numerals."""
    speech = _speech(context)
    if discount.endswith("%"):
        return f"{speech.plain(Decimal(discount.removesuffix('%').strip()))} %"
    return speech.money(discount, currency)


@register.simple_tag(takes_context=True)
def say_iso_day(context: template.Context, day: str) -> str:
    """A day as a quote keeps it, ``2026-11-30``, written out."""
    return _speech(context).day(date.fromisoformat(day))


@register.simple_tag(takes_context=True)
def say_day(context: template.Context, value: date | datetime) -> str:
    """``Wed 25 Nov 2026``, ``Mi., 25.11.2026``."""
    return _speech(context).short_day(value)


@register.simple_tag(takes_context=True)
def say_long_day(context: template.Context, value: date | datetime) -> str:
    """``25 November 2026``, ``25. November 2026``."""
    return _speech(context).day(value)


@register.simple_tag(takes_context=True)
def say_moment(context: template.Context, value: datetime) -> str:
    """``25 November 2026, 14:05``, ``25. November 2026 um 14:05 Uhr``."""
    return _speech(context).moment(value)


@register.simple_tag(takes_context=True)
def say_money(context: template.Context, value: Any, currency: str) -> str:
    """``€1 234.50``, ``1 234,50 €``."""
    return _speech(context).money(value, currency)


@register.simple_tag(takes_context=True)
def say_quantity(context: template.Context, value: Any) -> str:
    """A count or hours without idle zeros: ``1.5``, ``1,5``."""
    return formatting.plain(value, point=_speech(context).language.point)
