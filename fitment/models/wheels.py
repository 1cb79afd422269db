"""Wheels and tyres that can be mounted, and what an order mounts on each axle."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from common.rims import specified_diameter_mm
from common.units import MM_PER_INCH
from fitment.engine.model import PRINTED
from shop.models.axles import AXLE_CHOICES
from shop.models.searching import Searched, SearchedQuerySet
from shop.models.versioned import Versioned
from shop.values.search_keys import KeyKind

from .known import MeasuredTyre, MeasuredWheel
from .wheel_words import wheel_size_words

if TYPE_CHECKING:
    from shop.models import WorkOrder

#: Standard uncertainty of a section width that this shop measured on the tyre, mm.
MEASURED_WIDTH_SIGMA_MM = 1.0
TREAD = [MinValueValidator(0), MaxValueValidator(12)]
SHOULDER_CHOICES = [("round", _("round")), ("medium", _("medium")), ("square", _("square"))]


class WheelQuerySet(SearchedQuerySet["WheelModel"]):
    def for_order(self, order: WorkOrder | None) -> WheelQuerySet:
        """The catalogue, and what was typed for this order."""
        own = models.Q(typed_for=order) if order is not None else models.Q(pk__in=[])
        return self.filter(models.Q(typed_for__isnull=True) | own)


class WheelCatalogue(models.Manager["WheelModel"]):
    """The wheels of the catalogue, without those that were typed for one order."""

    def get_queryset(self) -> WheelQuerySet:
        return WheelQuerySet(self.model, using=self._db).filter(typed_for__isnull=True)

    def search(self, words: str) -> WheelQuerySet:
        return self.get_queryset().search(words)


class WheelModel(Searched, Versioned, MeasuredWheel):
    """A wheel of the catalogue. Lengths in mm, rim sizes in inches as the trade has them.

    ``spoke_back`` traces the back of the spokes: [[axial from the mounting face, radius], …]
    from the hub outwards. Empty, like a missing ``barrel_mm``, means that it was not measured.
    """

    searched_texts: ClassVar = {
        "name": KeyKind.WORDS,
        "maker": KeyKind.WORDS,
        "size_words": KeyKind.WORDS,
    }
    searched_also: ClassVar = ("width_in", "diameter_in", "offset_mm")

    name = models.CharField(_("name"), max_length=80)
    maker = models.CharField(_("maker"), max_length=80, blank=True)
    diameter_in = models.FloatField(_("diameter, in"), validators=[MinValueValidator(10)])
    width_in = models.FloatField(_("width, in"), validators=[MinValueValidator(3)])
    offset_mm = models.FloatField(_("offset (ET), mm"))
    flange_mm = models.FloatField(
        _("flange width, mm"),
        default=12.5,
        validators=[MinValueValidator(0)],
        help_text=_("Width of the rim flange outside the bead seat."),
    )
    barrel_mm = models.FloatField(
        _("barrel depth, mm"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
        help_text=_("From the bead seat down to the inside of the barrel. Leave empty if unknown."),
    )
    spoke_back = models.JSONField(_("back of the spokes"), default=list, blank=True)
    bolt_count = models.PositiveSmallIntegerField(_("bolts"), null=True, blank=True)
    bolt_circle_mm = models.FloatField(_("bolt circle, mm"), null=True, blank=True)
    centre_bore_mm = models.FloatField(_("centre bore, mm"), null=True, blank=True)
    load_rating_kg = models.FloatField(_("load rating, kg"), null=True, blank=True)
    price = models.DecimalField(
        _("price"),
        max_digits=9,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    notes = models.TextField(_("notes"), blank=True)

    objects = WheelCatalogue()
    every = WheelQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["name", "diameter_in", "width_in", "-offset_mm", "pk"]

    def __str__(self) -> str:
        return f"{self.name} {self.size}".strip()

    def get_absolute_url(self) -> str:
        return reverse("wheel_edit", args=[self.pk])

    @property
    def size_words(self) -> str:
        return wheel_size_words(self)

    @property
    def size(self) -> str:
        return f"{self.width_in:g}×{self.diameter_in:g} ET{self.offset_mm:g}"

    @property
    def stated_width_mm(self) -> float:
        """Width between the flanges as marked."""
        return MM_PER_INCH * self.width_in

    @property
    def stated_barrel_radius_mm(self) -> float | None:
        """Inside radius of the barrel as recorded."""
        return None if self.barrel_mm is None else self.seat_diameter_mm / 2 - self.barrel_mm

    @property
    def seat_diameter_mm(self) -> float:
        """Diameter of the bead seat, as it is specified for the marked one."""
        return specified_diameter_mm(self.diameter_in)

    @property
    def inside_known(self) -> bool:
        """Whether the room inside the barrel was measured, so that brakes can be judged."""
        known = self.as_document(spacer_mm=0.0)
        return "barrel_mm" in known and bool(known.get("spoke_back"))

    def as_document(self, *, spacer_mm: float) -> dict[str, Any]:
        """This wheel with a spacer as the ``wheel`` of a check file's corner.

        What this shop measured replaces what the maker states.
        """
        document: dict[str, Any] = {
            "diameter_in": self.diameter_in,
            "width_in": self.width_in,
            "offset_mm": self.offset_mm,
            "spacer_mm": spacer_mm,
            "flange_mm": self.flange_mm,
            "rim_diameter_mm": self.seat_diameter_mm,
        }
        if self.barrel_mm is not None:
            document["barrel_mm"] = self.barrel_mm
        if self.spoke_back:
            document["spoke_back"] = self.spoke_back
        return document | self.measured_document


class TyreQuerySet(SearchedQuerySet["TyreModel"]):
    def for_order(self, order: WorkOrder | None) -> TyreQuerySet:
        """The catalogue, and what was typed for this order."""
        own = models.Q(typed_for=order) if order is not None else models.Q(pk__in=[])
        return self.filter(models.Q(typed_for__isnull=True) | own)


class TyreCatalogue(models.Manager["TyreModel"]):
    """The tyres of the catalogue, without those that were typed for one order."""

    def get_queryset(self) -> TyreQuerySet:
        return TyreQuerySet(self.model, using=self._db).filter(typed_for__isnull=True)

    def search(self, words: str) -> TyreQuerySet:
        return self.get_queryset().search(words)


class TyreModel(Searched, Versioned, MeasuredTyre):
    """A tyre of the catalogue, with what its maker states or the shop measured (mm).

    ``profile`` is a traced section: [[axial from the centre plane, radius], …] from the
    outboard bead over the crown to the inboard bead; empty where it was not traced.
    """

    searched_texts: ClassVar = {
        "name": KeyKind.WORDS,
        "maker": KeyKind.WORDS,
        "size": KeyKind.SIZE,
    }

    name = models.CharField(_("name"), max_length=80)
    maker = models.CharField(_("maker"), max_length=80, blank=True)
    size = models.CharField(_("size"), max_length=24, help_text=_("For example 225/40R18"))
    section_width_mm = models.FloatField(
        _("section width, mm"), null=True, blank=True, validators=[MinValueValidator(50)]
    )
    measuring_rim_in = models.FloatField(
        _("on a rim of, in"),
        null=True,
        blank=True,
        validators=[MinValueValidator(3)],
        help_text=_(
            "The rim width that the section width belongs to. "
            "Empty: the width was read on the wheel that it will be on."
        ),
    )
    overall_diameter_mm = models.FloatField(
        _("overall diameter, mm"), null=True, blank=True, validators=[MinValueValidator(300)]
    )
    tread_width_mm = models.FloatField(
        _("tread width, mm"), null=True, blank=True, validators=[MinValueValidator(50)]
    )
    shoulder_drop_mm = models.FloatField(
        _("shoulder drop, mm"),
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
        help_text=_("How far the edge of the tread lies under the crown."),
    )
    shoulder = models.CharField(
        _("shoulder"),
        max_length=6,
        blank=True,
        choices=SHOULDER_CHOICES,
        help_text=_("As it looks; counts where its drop was neither measured nor traced."),
    )
    protective_rib = models.BooleanField(
        _("has a protective rib"),
        default=False,
        help_text=_("A bead of rubber above the rim. The standard lets such a tyre be 8 mm wider."),
    )
    snow = models.BooleanField(
        _("snow tyre"),
        default=False,
        help_text=_("The standard lets a snow tyre be 1 % larger in diameter."),
    )
    profile = models.JSONField(_("traced section"), default=list, blank=True)
    measured = models.BooleanField(
        _("this shop measured the width"),
        default=False,
        help_text=_("A measured width is trusted to 1 mm, a printed one to 3 mm."),
    )
    load_index = models.CharField(_("load index"), max_length=8, blank=True)
    speed_symbol = models.CharField(_("speed symbol"), max_length=4, blank=True)
    price = models.DecimalField(
        _("price"),
        max_digits=9,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )

    objects = TyreCatalogue()
    every = TyreQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["size", "name", "pk"]

    def __str__(self) -> str:
        return f"{self.name} {self.size}".strip()

    def get_absolute_url(self) -> str:
        return reverse("tyre_edit", args=[self.pk])

    def as_document(self, rim_in: float | None = None) -> dict[str, Any]:
        """This tyre as the ``tyre`` of a check file's corner; what is unknown stays out.

        What this shop measured replaces what is printed; ``rim_in`` is the wheel it goes on.
        """
        document: dict[str, Any] = {"size": self.size}
        for name in (
            "section_width_mm",
            "measuring_rim_in",
            "overall_diameter_mm",
            "tread_width_mm",
            "shoulder_drop_mm",
        ):
            value = getattr(self, name)
            if value is not None:
                document[name] = value
        if self.shoulder:
            document["shoulder"] = self.shoulder
        document |= {name: True for name in ("protective_rib", "snow") if getattr(self, name)}
        if self.profile:
            document["profile"] = self.profile
        if self.section_width_mm is not None and "width" not in self.pooled:
            if self.measured:
                document["sigma_width_mm"] = MEASURED_WIDTH_SIGMA_MM
            else:
                document["width_known"] = PRINTED
        return document | self.measured_document(rim_in)


class OrderWheels(models.Model):
    """What an order mounts on one axle, both sides alike.

    ``worn_mm`` of tread gone, ``growth_mm`` of radius at speed and ``largest_allowed`` (the
    largest tyre of this size that the standard lets pass) say in which state it is judged.
    """

    order = models.ForeignKey(
        "shop.WorkOrder", on_delete=models.CASCADE, related_name="order_wheels"
    )
    axle = models.CharField(_("axle"), max_length=5, choices=AXLE_CHOICES)
    wheel = models.ForeignKey(WheelModel, on_delete=models.PROTECT, related_name="orders")
    tyre = models.ForeignKey(TyreModel, on_delete=models.PROTECT, related_name="orders")
    spacer_mm = models.FloatField(_("spacer, mm"), default=0.0, validators=[MinValueValidator(0)])
    worn_mm = models.FloatField(_("tread worn off, mm"), default=0.0, validators=TREAD)
    growth_mm = models.FloatField(_("growth at speed, mm of radius"), default=0.0, validators=TREAD)
    largest_allowed = models.BooleanField(_("as large as the standard allows"), default=False)

    class Meta:
        ordering: ClassVar = ["order", "axle"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["order", "axle"], name="one_choice_per_axle"),
            models.CheckConstraint(
                condition=models.Q(spacer_mm__gte=0), name="spacer_not_negative"
            ),
        ]

    def __str__(self) -> str:
        spacer = f", {self.spacer_mm:g} mm spacer" if self.spacer_mm else ""
        return f"{self.wheel}, {self.tyre}{self.state_words}{spacer}"

    @property
    def state_words(self) -> str:
        """In which state the tyre is judged, where it is not simply new; begins with a comma."""
        said = {
            f"{self.worn_mm:g} mm worn": self.worn_mm,
            f"grown {self.growth_mm:g} mm at speed": self.growth_mm,
            "the largest that the standard allows": self.largest_allowed,
        }
        return "".join(f", {words}" for words, holds in said.items() if holds)

    def tyre_document(self) -> dict[str, Any]:
        """The tyre in its state as the ``tyre`` of a check file's corner."""
        state = {
            "worn_mm": self.worn_mm,
            "growth_mm": self.growth_mm,
            "largest_allowed": self.largest_allowed,
        }
        return self.tyre.as_document(self.wheel.width_in) | {
            name: value for name, value in state.items() if value
        }
