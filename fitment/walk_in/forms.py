"""The form of a walk-in: customer, vehicle, request, use, and both axles."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.fields.unit_fields import TypedForm
from alignment.text.labels import axle_here
from fitment.walk_in.axle_fields import axle_asked, axle_fields, axle_names
from fitment.walk_in.data import WalkIn
from shop.models import Axle, CarModel, Customer, OrderKind, Vehicle
from shop.models.texts import language_choices, own_language
from shop.models.vehicles import Market
from shop.people.services.known import NAME, PHONE, PLATE, Known, car_model_like, known_customers
from shop.site.contact_fields import MailField, TelephoneField
from shop.site.fields import VinField, field_of
from shop.site.uses import UsesField, uses_taken
from shop.values.vin import vin_warning

NEW = "new"
#: The choice of a car model for a car whose model is not known.
UNKNOWN = "unknown"
FOUND_BY = {
    PHONE: gettext_lazy("same telephone"),
    NAME: gettext_lazy("similar name"),
    PLATE: gettext_lazy("same plate"),
}


class WalkInForm(TypedForm):
    """Everything that a service writer asks at the counter.

    Who or what is on record already is pointed out before anything is saved: ``known`` then asks
    which one it is, and a car model is proposed from earlier cars of the same description.
    """

    name = forms.CharField(
        label=gettext_lazy("Name"),
        max_length=120,
        error_messages={"required": gettext_lazy("Enter the customer's name.")},
    )
    phone = TelephoneField(label=gettext_lazy("Telephone"), required=False)
    email = MailField(label=gettext_lazy("Email"), required=False)
    language = forms.ChoiceField(label=gettext_lazy("Language"))
    plate = forms.CharField(label=gettext_lazy("Plate"), max_length=20, required=False)
    description = forms.CharField(
        label=gettext_lazy("Car"),
        max_length=160,
        help_text=gettext_lazy("Year, make, model, body"),
        error_messages={"required": gettext_lazy("Enter year, make and model of the car.")},
    )
    car_model = forms.ChoiceField(
        label=gettext_lazy("Car model"),
        required=False,
        help_text=gettext_lazy("If empty, it is proposed from earlier cars like this one."),
    )
    mileage_km = forms.IntegerField(
        label=gettext_lazy("Mileage, km"),
        required=False,
        min_value=0,
        max_value=9_999_999,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
    )
    vin = VinField(label=gettext_lazy("VIN"), max_length=20, required=False)
    market = forms.ChoiceField(
        label=gettext_lazy("Market"), choices=Market.choices, initial=Market.OTHER
    )
    vin_as_is = forms.BooleanField(
        label=gettext_lazy("The VIN on the car reads like this"), required=False
    )
    request_text = forms.CharField(
        label=gettext_lazy("Customer's request"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    use = UsesField(initial=["street"])
    known = forms.ChoiceField(
        label=gettext_lazy("Is it one of these?"), required=False, widget=forms.RadioSelect
    )
    rear_as_front = forms.BooleanField(
        label=gettext_lazy("Rear wheels and tyres as in front"), required=False
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field_of(self, "language", forms.ChoiceField).choices = language_choices()
        self.fields["language"].initial = own_language()
        models = [(str(row.pk), row.name) for row in CarModel.objects.all()]
        field_of(self, "car_model", forms.ChoiceField).choices = [
            ("", _("propose one")),
            (UNKNOWN, _("not known yet")),
            *models,
        ]
        for axle in Axle.values:
            self.fields.update(axle_fields(axle))
        self.found: list[Known] = []
        self.asked: WalkIn | None = None
        self._offer()
        chosen = self._typed("known")
        self.fields["name"].required = chosen[:1] not in ("c", "v")
        self.fields["description"].required = chosen[:1] != "v"
        self.bind_read_back()
        for axle_field in self.fields.values():  # the unit of toe is always degrees here
            axle_field.widget.attrs.pop("hx-include", None)

    # ---- for the page

    @property
    def axles(self) -> list[tuple[str, list[tuple[Any, str, str]]]]:
        """By axle, its fields with their labels in two parts: its heading stands above them."""
        return [(str(label), self._labelled(axle)) for axle, label in Axle.choices]

    def _labelled(self, axle: str) -> list[tuple[Any, str, str]]:
        rest = f", {axle_here(axle)}"
        fields = [self[name] for name in axle_names(axle)]
        return [(field, str(field.label).removesuffix(rest), rest) for field in fields]

    def _typed(self, name: str) -> str:
        value = self.data.get(name) if self.is_bound else self.initial.get(name)
        return str(value or "").strip()

    def _offer(self) -> None:
        """Let ``known`` offer whoever may be meant by what was typed."""
        self.found = known_customers(
            name=self._typed("name"), phone=self._typed("phone"), plate=self._typed("plate")
        )
        choices = [choice for known in self.found for choice in _choices_of(known)]
        if choices:
            choices.append((NEW, _("None of these: a new customer")))
        chosen = self._typed("known")
        if chosen and chosen not in dict(choices) and (row := _row_of(chosen)):
            choices.insert(0, (chosen, _said(row)))
        field_of(self, "known", forms.ChoiceField).choices = choices

    # ---- what was typed

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        customer, vehicle = self._who(cleaned)
        car_model = self._car_model(cleaned, vehicle)
        if vehicle is None:
            self._check_car(cleaned)
        axles = axle_asked(self, cleaned)
        if not self.errors:
            order = {name: cleaned[name] for name in ("request_text", "use", "mileage_km")} | {
                "kind": OrderKind.INSTALL
            }
            uses_taken(order)
            self.asked = WalkIn(
                customer=customer,
                vehicle=vehicle,
                car_model=car_model,
                person={name: cleaned[name] for name in ("name", "phone", "email", "language")},
                car={name: cleaned[name] for name in ("plate", "description", "vin", "market")},
                order=order,
                axles=axles,
            )
        return cleaned

    def _who(self, cleaned: dict[str, Any]) -> tuple[Customer | None, Vehicle | None]:
        """The customer and vehicle that were chosen; asks where another record may be meant."""
        chosen = cleaned.get("known") or ""
        if not chosen and self.found and "known" not in self.errors:
            self.add_error(
                "known", _("Already on record. Choose who it is, or that it is a new customer.")
            )
        row = _row_of(chosen)
        if isinstance(row, Vehicle):
            return row.customer, row
        return row, None

    def _car_model(self, cleaned: dict[str, Any], vehicle: Vehicle | None) -> CarModel | None:
        chosen = cleaned.get("car_model") or ""
        if chosen and chosen != UNKNOWN:
            return CarModel.objects.filter(pk=chosen).first()
        if chosen or (vehicle is not None and vehicle.car_model_id):
            return None
        described = vehicle.description if vehicle else cleaned.get("description") or ""
        like = car_model_like(described)
        if like is not None and "car_model" not in self.errors:
            model, count = like
            self.put("car_model", str(model.pk))
            self.add_error(
                "car_model",
                _(
                    "Proposed: {model}, as on {count} earlier cars like this. Save again if it is."
                ).format(model=model, count=count),
            )
        return None

    def _check_car(self, cleaned: dict[str, Any]) -> None:
        odd = vin_warning(cleaned.get("vin") or "", market=cleaned.get("market") or "")
        if odd and not cleaned.get("vin_as_is"):
            self.add_error(
                "vin", _("{odd} Correct it, or tick that the car reads so.").format(odd=odd)
            )


def _choices_of(known: Known) -> list[tuple[str, str]]:
    why = ", ".join(str(FOUND_BY[name]) for name in (PLATE, PHONE, NAME) if name in known.by)
    who = ", ".join(filter(None, [known.customer.name, known.customer.phone]))
    plated = [row for row in known.vehicles if row.pk in known.plates]
    vehicles = plated or known.vehicles
    return [
        *((f"v{row.pk}", f"{who}: {row} ({why})") for row in vehicles),
        (f"c{known.customer.pk}", _("{who}, with another car ({why})").format(who=who, why=why)),
    ]


def _row_of(chosen: str) -> Customer | Vehicle | None:
    """The row that a choice of ``known`` names; None for a new customer."""
    kind, number = chosen[:1], chosen[1:]
    if not (number.isascii() and number.isdecimal() and len(number) < 18):
        return None
    if kind == "v":
        vehicles = Vehicle.objects.unmerged().select_related("customer", "car_model")
        return vehicles.filter(pk=number).first()
    return Customer.objects.unmerged().filter(pk=number).first() if kind == "c" else None


def _said(row: Customer | Vehicle) -> str:
    return f"{row.customer.name}: {row}" if isinstance(row, Vehicle) else str(row)
