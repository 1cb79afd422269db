"""The gate of the dry fit: a wheel that touches on the hub is not mounted, whoever decides."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.translation import gettext

from alignment.text.render import SHOP, Reader, customer, render
from common.canonical_json import digest_of
from common.message import Message, message
from common.verdicts import GateResult
from fitment.mounting.services.dry_fits import dry_fits_of
from fitment.text.render import sentences
from shop.extensions import gates
from shop.extensions.gates import GateAnswer

if TYPE_CHECKING:
    from fitment.models import DryFit
    from shop.models import WorkOrder

GATE = "dry fit"


def dry_fit_gate(order: WorkOrder) -> GateAnswer:
    """What the latest dry fits say to mounting the wheels of this order."""
    touching = [one for one in dry_fits_of(order).values() if one.touching]
    if not touching:
        return _answer(GateResult.NOT_NEEDED, partial(render, message("dry-fit.nothing")), "")
    told = [_told(one) for one in touching]
    digest = digest_of([[one.pk, one.digest, list(one.touching)] for one in touching])
    url = reverse("dry_fit", args=[order.pk])
    said = partial(sentences, told)
    return _answer(
        GateResult.CANNOT_BE_MOUNTED, said, digest, gettext("Record another dry fit"), url
    )


def _told(one: DryFit) -> Message:
    what = tuple(message(f"dry-fit.{name}") for name in one.touching)
    return message("dry-fit.touches", axle=message(f"axle-name.{one.axle}"), what=what)


def _answer(
    result: GateResult, said: Callable[[Reader], str], digest: str, label: str = "", url: str = ""
) -> GateAnswer:
    may_pass, needs_signature = gates.RULES[result]
    return GateAnswer(
        gate=GATE,
        result=result,
        sentence=said(SHOP),
        may_pass=may_pass,
        needs_signature=needs_signature,
        digest=digest,
        action_label=label,
        action_url=url,
        title=gettext("Dry fit"),
        spoken=lambda speech: said(customer(speech)),
    )
