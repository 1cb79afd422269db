"""The gate of the dry fit: a wheel that touches on the hub is not mounted, whoever decides."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as N_

from common.canonical_json import digest_of
from common.verdicts import GateResult
from fitment.mounting.services.dry_fits import dry_fits_of
from fitment.mounting.text import dry_fit_told
from fitment.text.gates import gate_answer, told
from fitment.text.render import sentences
from shop.extensions.gates import GateAnswer

if TYPE_CHECKING:
    from shop.models import WorkOrder

_answer = partial(gate_answer, gate="dry fit", title=N_("Dry fit"))


def dry_fit_gate(order: WorkOrder) -> GateAnswer:
    """What the latest dry fits say to mounting the wheels of this order."""
    touching = [one for one in dry_fits_of(order).values() if one.touching]
    if not touching:
        return _answer(GateResult.NOT_NEEDED, told("dry-fit.nothing"))
    return _answer(
        GateResult.CANNOT_BE_MOUNTED,
        partial(sentences, [dry_fit_told(one) for one in touching]),
        digest_of([[one.pk, one.digest, list(one.touching)] for one in touching]),
        (gettext("Record another dry fit"), reverse("dry_fit", args=[order.pk])),
    )
