"""Work orders, their lines, the quotes frozen from them and what customers authorised."""

from __future__ import annotations

import secrets
from decimal import Decimal
from typing import ClassVar

from django.core.validators import MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext, pgettext_lazy
from django.utils.translation import gettext_lazy as _

from shop.models.axles import PartAxle
from shop.models.classes import ClassRecord
from shop.models.discounts import Discounted
from shop.models.people import Customer, User
from shop.models.searching import Searched, SearchedQuerySet
from shop.models.texts import Translated
from shop.models.vehicles import Part, Vehicle
from shop.models.versioned import Versioned
from shop.values.amounts import Totals, line_amount, line_net, totals_of
from shop.values.search_keys import KeyKind


class OrderKind(models.TextChoices):
    INSTALL = "install", _("Fit and set up")
    ALIGNMENT = "alignment", _("Alignment only")
    SURVEY_VISIT = "survey_visit", _("Survey visit")
    OTHER = "other", _("Other work")
    COMEBACK = "comeback", _("Comeback")


class Use(models.TextChoices):
    STREET = "street", pgettext_lazy("use of a car", "Street")
    AUTOCROSS = "autocross", pgettext_lazy("use of a car", "Autocross")
    TRACK = "track", pgettext_lazy("use of a car", "Track")


#: Stands between several uses where they are kept as one text.
AND_USE = "+"


def uses_said(uses: str) -> str:
    """Uses that are kept as one text, in words of the active language: ``Street and Track``."""
    names = [str(Use(name).label) for name in uses.split(AND_USE) if name in Use.values]
    if len(names) < 2:
        return names[0] if names else uses
    return gettext("{names} and {last}").format(names=", ".join(names[:-1]), last=names[-1])


class State(models.TextChoices):
    ENQUIRY = "enquiry", _("Enquiry")
    QUOTED = "quoted", _("Quoted")
    APPROVED = "approved", _("Approved")
    BOOKED = "booked", _("Booked")
    ON_LIFT = "on_lift", _("On the lift")
    ROAD_TEST = "road_test", _("Road test")
    HANDED_OVER = "handed_over", _("Handed over")
    CANCELLED = "cancelled", _("Cancelled")


CLOSED_STATES = (State.HANDED_OVER, State.CANCELLED)


class WaitingFor(models.TextChoices):
    NOTHING = "", _("Nothing")
    PARTS = "parts", _("Parts")
    CUSTOMER = "customer", _("Customer")


def new_token() -> str:
    """The secret part of a customer's link: 256 bits, safe in a URL."""
    return secrets.token_urlsafe(32)


class WorkOrderQuerySet(SearchedQuerySet["WorkOrder"]):
    searched_beside = ("customer", "vehicle")

    def open(self) -> WorkOrderQuerySet:
        return self.exclude(state__in=CLOSED_STATES)


class WorkOrder(Searched, Versioned, Discounted):
    """One job on one car, from the request to the hand-over.

    Its ``state`` changes only through :func:`shop.orders.services.states.order_move`.
    ``use`` is the hardest of all uses and ``further_uses`` names the others; the clearance is
    judged for all of them.
    """

    searched_texts: ClassVar = {
        "number": KeyKind.NUMBER,
        "request_text": KeyKind.SIZE,
        "class_rules": KeyKind.WORDS,
    }

    number = models.CharField(max_length=12, unique=True, editable=False)
    kind = models.CharField(
        _("kind"), max_length=12, choices=OrderKind.choices, default=OrderKind.INSTALL
    )
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="orders")
    vehicle = models.ForeignKey(Vehicle, on_delete=models.PROTECT, related_name="orders")
    mileage_km = models.PositiveIntegerField(_("mileage, km"), null=True, blank=True)
    request_text = models.TextField(_("customer's request"), blank=True)
    use = models.CharField(_("use"), max_length=10, choices=Use.choices, default=Use.STREET)
    further_uses = models.JSONField(_("further uses"), default=list, blank=True)
    class_rules = models.CharField(
        _("class rules"),
        max_length=200,
        blank=True,
        help_text=_("Class or rules that the customer races under, if any"),
    )
    class_record = models.ForeignKey(
        ClassRecord,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="orders",
        verbose_name=_("class with recorded limits"),
        help_text=_("Settings and parts are checked against it before the quote."),
    )
    curves_on_sheet = models.BooleanField(
        _("print camber and toe curves on the spec sheet"), default=False, editable=False
    )
    state = models.CharField(
        max_length=12, choices=State.choices, default=State.ENQUIRY, editable=False
    )
    state_since = models.DateTimeField(default=timezone.now, editable=False)
    waiting_for = models.CharField(
        max_length=10,
        choices=WaitingFor.choices,
        default=WaitingFor.NOTHING,
        blank=True,
    )
    first_order = models.ForeignKey(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="follow_ups",
    )
    token = models.CharField(max_length=64, unique=True, default=new_token, editable=False)
    created_at = models.DateTimeField(default=timezone.now, editable=False)
    moves_wheel_or_height = models.BooleanField(
        _("moves a wheel, a tyre, the ride height or the alignment"), default=True
    )
    technician_notes = models.TextField(blank=True, help_text=_("Not shown to the customer."))
    parts_ordered_at = models.DateTimeField(null=True, blank=True, editable=False)
    parts_ordered_by = models.ForeignKey(
        User,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        editable=False,
    )

    objects = WorkOrderQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["-created_at", "-pk"]
        indexes: ClassVar = [models.Index(fields=["state", "state_since"])]

    def __str__(self) -> str:
        return self.number

    def get_absolute_url(self) -> str:
        return reverse("order", args=[self.pk])

    @property
    def needs_check(self) -> bool:
        """Whether clearance has to be checked before parts are ordered and the job is booked."""
        return self.kind != OrderKind.SURVEY_VISIT and self.moves_wheel_or_height

    @property
    def needs_quote(self) -> bool:
        """Survey visits and comebacks may be booked without a quote."""
        return self.kind not in (OrderKind.SURVEY_VISIT, OrderKind.COMEBACK)

    @property
    def uses(self) -> list[str]:
        """Every use that the car is for, in the order of :class:`Use`; ``use`` is the last."""
        return [name for name in Use.values if name == self.use or name in self.further_uses]

    @property
    def use_text(self) -> str:
        """All uses as one text, as a quote keeps them."""
        return AND_USE.join(self.uses)

    @property
    def use_words(self) -> str:
        """All uses in words of the active language."""
        return uses_said(self.use_text)

    @property
    def races_under(self) -> str:
        """The class in words: the recorded one, or what the customer calls it; may be empty."""
        return str(self.class_record) if self.class_record else self.class_rules

    @property
    def is_open(self) -> bool:
        return self.state not in CLOSED_STATES

    @property
    def state_words(self) -> str:
        """The state, and what it waits for, in words."""
        words = str(State(self.state).label)
        if not self.is_open:
            return words
        if self.waiting_for == WaitingFor.PARTS:
            return gettext("{state}, waiting for parts").format(state=words)
        if self.waiting_for == WaitingFor.CUSTOMER:
            return gettext("{state}, waiting for the customer").format(state=words)
        return words

    @property
    def totals(self) -> Totals:
        return totals_of(self.lines.all(), self.discount)


class LineKind(models.TextChoices):
    LABOUR = "labour", _("Labour")
    PART = "part", _("Part")


class LineWork(models.TextChoices):
    """What a line of labour does that asks for care, and is written in no part's record."""

    LIPS = "lips", _("Arch lips rolled or cut")
    SPRINGS = "springs", _("Strut opened or spring taken out")
    JOINTS = "joints", _("Ball joints or links parted")
    BRAKES = "brakes", _("Brakes opened")


class Line(Translated, Discounted):
    """One line of the work: hours at a rate, or pieces at a price."""

    order = models.ForeignKey(WorkOrder, on_delete=models.CASCADE, related_name="lines")
    kind = models.CharField(
        _("kind"), max_length=6, choices=LineKind.choices, default=LineKind.LABOUR
    )
    part = models.ForeignKey(
        Part,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="lines",
        verbose_name=_("part"),
    )
    description = models.CharField(_("description"), max_length=200)
    work = models.CharField(
        _("work that asks for care"), max_length=8, choices=LineWork.choices, blank=True
    )
    axle = models.CharField(_("axle"), max_length=5, choices=PartAxle.choices, default=PartAxle.ANY)
    quantity = models.DecimalField(
        _("quantity"),
        max_digits=8,
        decimal_places=2,
        default=Decimal(1),
        validators=[MinValueValidator(0)],
    )
    unit_price = models.DecimalField(
        _("unit price"),
        max_digits=9,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(0)],
    )
    tax_rate = models.DecimalField(
        _("tax, %"),
        max_digits=5,
        decimal_places=2,
        default=Decimal(0),
        validators=[MinValueValidator(0)],
    )
    #: Whether the unit price has the tax in it.
    with_tax = models.BooleanField(default=False, editable=False)
    #: What of the plan the line stands for, by a lasting key; empty for one that was typed.
    source = models.CharField(max_length=120, blank=True, editable=False)
    #: What was planned when the line was made, in words.
    source_words = models.CharField(max_length=200, blank=True, editable=False)
    position = models.PositiveIntegerField(default=0)

    class Meta:
        ordering: ClassVar = ["position", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=models.Q(quantity__gte=0) & models.Q(unit_price__gte=0),
                name="line_never_negative",
            ),
            models.CheckConstraint(
                condition=models.Q(discount_money=0, discount_percent__lte=100)
                | models.Q(discount_percent=0),
                name="line_discount_in_one_form",
            ),
        ]

    def __str__(self) -> str:
        return self.description

    def description_in(self, language: str) -> str:
        """What is done, in a language: the line's own text, or the name of the part it names."""
        said = self.text_in(language, "description")
        if said == self.description and self.part and self.description == self.part.name:
            return self.part.text_in(language, "name")
        return said

    @property
    def amount(self) -> Decimal:
        """What the line shows: with or without tax as its price is, less its discount."""
        return line_amount(self)

    @property
    def net(self) -> Decimal:
        return line_net(self)
