"""What the order page says of wheels, mounting checks, fitment tables and earlier jobs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from fitment.engine.mounting.guide import OPEN, PROMISED
from fitment.job.fitted import fitted_once
from fitment.job.state import state_once
from fitment.models import Guide
from fitment.mounting.earlier_jobs import earlier_jobs_once
from fitment.mounting.gate import GATE
from fitment.mounting.guides import RowSaid
from fitment.mounting.page import mounting_page, order_guides
from shop.extensions.answers import AnswerLink, OrderAnswer, Question
from shop.extensions.panels import Panel
from shop.models import OrderKind
from shop.site.view_helpers import has_role

if TYPE_CHECKING:
    from django.http import HttpRequest

    from shop.models import CarModel, WorkOrder

MAY_CHANGE = ("writer", "technician")


def wheels_answers(request: HttpRequest, order: WorkOrder) -> list[OrderAnswer]:
    """What the order mounts on each axle."""
    if order.kind == OrderKind.SURVEY_VISIT:
        return []
    wheels = fitted_once(order)
    label = _("Wheels and tyres")
    may_choose = order.is_open and has_role(request.user, "writer")
    if may_choose:
        label = _("Change wheels and tyres") if wheels else _("Choose wheels and tyres")
    url = reverse("order_wheels", args=[order.pk])
    words = " ".join(f"{row.get_axle_display()}: {row}." for row in wheels) or _(
        "No wheels or tyres are chosen. If the present ones stay, choose those: the clearance"
        " check needs them."
    )
    return [
        OrderAnswer(
            Question.FITS,
            _("Wheels and tyres"),
            words,
            links=(AnswerLink(label, url, is_act=may_choose),)
            if may_choose or (wheels and has_role(request.user, "writer", "technician"))
            else (),
            anchor="wheels",
        )
    ]


def mounting_answers(request: HttpRequest, order: WorkOrder) -> list[OrderAnswer]:
    """Whether wheels and tyres go on the car, and may: how many checks fail, and the worst."""
    if not order.needs_check:
        return []
    context = mounting_page(order, state_once(order))
    if not context:
        return []
    url = reverse("order_mounting_checks", args=[order.pk])
    count = context["count"]
    all_checks = ngettext("{count} mounting check", "{count} mounting checks", count)
    links = [AnswerLink(all_checks.format(count=count), url)]
    if order.is_open and not context["is_current"] and has_role(request.user, *MAY_CHANGE):
        label = _("Check the mounting again") if context["kept"] else _("Check the mounting")
        run = reverse("mounting_run", args=[order.pk])
        links.insert(0, AnswerLink(label, run, posts=True, is_act=True))
    return [
        OrderAnswer(
            Question.FITS,
            _("Mounting checks"),
            context["short"],
            verdict=context["verdict"],
            detail=_standing_of(context),
            links=tuple(links),
            anchor="mounting",
            gate=GATE,
        )
    ]


def _standing_of(context: dict[str, Any]) -> str:
    """Whether the answer is on record, where that is not so."""
    if context["as_it_was"] or context["is_current"]:
        return ""
    if context["kept"]:
        return _("Out of date: the answer on record used other figures.")
    return _("Not saved. Save to order parts or book.")


def guides_answers(request: HttpRequest, order: WorkOrder) -> list[OrderAnswer]:
    """What makers publish about this car: how many rows promise it, and what is out of date."""
    held = order_guides(order)
    if held is None:
        return []
    rows = [row for guide in held.guides for row in guide.rows]
    replaced = _("This order relied on revision {revision} of “{title}”: a newer one is on record.")
    cautions = [
        replaced.format(revision=one.row.guide.revision, title=one.row.guide.title)
        for one in held.outdated
    ]
    odd = (row.disagreement for row in rows if row.disagreement)
    cautions += [f"{_('Table and geometry disagree.')} {words}" for words in odd]
    url = reverse("order_guides", args=[order.pk])
    return [
        OrderAnswer(
            Question.FITS,
            _("Fitment tables"),
            _tables_words(rows),
            links=(AnswerLink(_("Fitment tables"), url),),
            cautions=tuple(cautions),
            anchor="guides",
        )
    ]


def _tables_words(rows: list[RowSaid]) -> str:
    if not rows:
        return _("No table has a row about these wheels and tyres.")
    counts = {PROMISED: 0, OPEN: 0}
    for row in rows:
        counts[row.said] = counts.get(row.said, 0) + 1
    unmet = len(rows) - counts[PROMISED] - counts[OPEN]
    said = [
        (counts[PROMISED], _("{count} met in every condition")),
        (counts[OPEN], _("{count} open")),
        (unmet, _("{count} not met")),
    ]
    told = ", ".join(words.format(count=count) for count, words in said if count)
    return _("Rows of tables about these sizes: {told}.").format(told=told)


def car_model_guides_panel(request: HttpRequest, car_model: CarModel) -> Panel:
    """The tables that are on record for a car model."""
    guides = Guide.objects.current().filter(car_model=car_model)
    context = {"car_model": car_model, "guides": guides}
    return Panel(_("Fitment tables"), "fitment/panels/car_model_guides.html", context, "guides")


def earlier_jobs_answers(request: HttpRequest, order: WorkOrder) -> list[OrderAnswer]:
    """How many spots of earlier jobs on this car model were measured, and which came nearest."""
    if not order.needs_check:
        return []
    lines = earlier_jobs_once(order)
    if not lines:
        return []
    touched = sum(bool(line.touched) for line in lines)
    words = ngettext(
        "{count} gap measured on earlier jobs, {touched} of them touched.",
        "{count} gaps measured on earlier jobs, {touched} of them touched.",
        len(lines),
    ).format(count=len(lines), touched=touched)
    url = reverse("order_earlier_jobs", args=[order.pk])
    link = AnswerLink(_("Earlier jobs"), url)
    title = _("Earlier jobs")
    return [OrderAnswer(Question.FITS, title, words, links=(link,), anchor="seen")]
