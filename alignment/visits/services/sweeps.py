"""A camber sweep: its four readings of each front wheel, and the caster from them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.geometry import readings, units
from alignment.geometry.caster_sweep import CasterSweep
from alignment.geometry.units import Understood
from alignment.models import SWEEP
from common.corners import AXLE_CORNERS
from common.shortened import shortened
from shop.languages.figures import format_degrees, short
from shop.models import Axle

SWEPT = AXLE_CORNERS[Axle.FRONT]
#: Field, words, hint: in the order in which a sweep is made.
STEPS: tuple[tuple[str, str | Promise, str | Promise], ...] = (
    ("steer_out", gettext_lazy("Turned outward by"), gettext_lazy("°, front edge outboard")),
    ("camber_out", gettext_lazy("Camber turned outward"), "°"),
    ("steer_in", gettext_lazy("Turned inward by"), gettext_lazy("°, front edge inboard")),
    ("camber_in", gettext_lazy("Camber turned inward"), "°"),
)
STEERS = ("steer_out", "steer_in")
WIDEST_STEER_DEG = 45.0


@dataclass(frozen=True)
class Sweep:
    """One wheel's sweep: its texts, its angles and the caster from them."""

    typed: Mapping[str, str]
    angles: Mapping[str, float]
    inclination_deg: float | None

    @property
    def swept(self) -> CasterSweep:
        return CasterSweep(
            self.angles["camber_out"],
            self.angles["camber_in"],
            self.angles["steer_out"],
            self.angles["steer_in"],
            self.inclination_deg,
        )

    @property
    def caster_deg(self) -> float:
        return self.swept.caster_deg

    def limits_deg(self, accuracy_deg: float) -> float:
        """As ± limits, what a rack with such limits leaves uncertain of the caster."""
        sigma = self.swept.sigma_deg(readings.accuracy_to_sigma(accuracy_deg))
        return readings.sigma_to_accuracy(sigma)

    @property
    def expanded_deg(self) -> float:
        """What turn plates, and an inclination that was not entered, leave uncertain."""
        return readings.COVERAGE * self.swept.sigma_deg(0.0)

    @property
    def words(self) -> str:
        """The caster, and what turn plates and an inclination that was not entered leave open."""
        text = (
            _("caster {angle}, ±{uncertainty} by turn plates and an inclination not entered")
            if self.inclination_deg is None
            else _("caster {angle}, ±{uncertainty} by turn plates")
        )
        return text.format(
            angle=format_degrees(self.caster_deg),
            uncertainty=format_degrees(self.expanded_deg, signed=False),
        )

    @property
    def understood(self) -> Understood:
        t = self.typed
        said = f"{t['camber_out']} at {t['steer_out']}, {t['camber_in']} at {t['steer_in']}"
        return Understood(shortened(said, 40), self.caster_deg, SWEEP)


def read_steer(typed: str) -> Understood:
    """A steer angle used in a sweep, counted from straight ahead either way."""
    angle = units.parse_angle(typed)
    if angle.value <= 0:
        raise units.NotUnderstood(_("Enter both angles from straight ahead, without a sign."))
    if angle.value > WIDEST_STEER_DEG:
        raise units.NotUnderstood(
            _("Must be at most {angle}°.").format(angle=short(WIDEST_STEER_DEG))
        )
    return angle


def sweep_of(
    typed: Mapping[str, str], inclination_deg: float | None
) -> tuple[Sweep | None, str, str]:
    """The sweep in four texts, or None with the step and the reason; all empty gives no reason."""
    texts = {step: (typed.get(step) or "").strip() for step, *_rest in STEPS}
    if not any(texts.values()):
        return None, "", ""
    angles = {}
    for step, words, _hint in STEPS:
        if not texts[step]:
            return (
                None,
                step,
                _("A sweep needs all four numbers. Empty: {field}.").format(field=words),
            )
        reader: Callable[[str], Understood] = read_steer if step in STEERS else units.parse_angle
        try:
            angles[step] = reader(texts[step]).value
        except units.NotUnderstood as refusal:
            return None, step, str(refusal)
    if angles["steer_out"] + angles["steer_in"] < readings.NARROWEST_SWEEP_DEG:
        return None, STEERS[0], _("The sweep is too narrow to give caster.")
    return Sweep(texts, angles, inclination_deg), "", ""
