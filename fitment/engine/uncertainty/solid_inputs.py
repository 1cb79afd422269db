"""What wheel and tyre leave uncertain: their dimensions, as far as they are known.

Tyres of one size differ by make, so a dimension that follows from the size alone is the same
unknown on every corner that carries that tyre; one that was measured has an error of its own.
Millimetres.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace

from alignment.geometry.frames import Array
from fitment.engine import defaults
from fitment.engine.defaults import DefaultSigma
from fitment.engine.minimum.setting import Setting
from fitment.engine.model import MEASURED, NOMINAL, PRINTED, Tyre
from fitment.engine.solid.mounted import BadSection
from fitment.engine.solid.section import Section
from fitment.engine.uncertainty.first_order_effects import resized_gaps
from fitment.engine.uncertainty.inputs import JOB, Inputs, Ledger, central
from fitment.engine.uncertainty.moments import LinearMoments

STEP_MM = 1.0

WIDTHS: dict[str, DefaultSigma] = {
    NOMINAL: defaults.WIDTH_NOMINAL,
    PRINTED: defaults.WIDTH_PRINTED,
    MEASURED: defaults.WIDTH_MEASURED,
}
DIAMETERS: dict[str, DefaultSigma] = {
    NOMINAL: defaults.DIAMETER_NOMINAL,
    PRINTED: defaults.DIAMETER_PRINTED,
    MEASURED: defaults.DIAMETER_MEASURED,
}


def solid_inputs(
    setting: Setting, section: Section, moments: LinearMoments, ledger: Ledger
) -> list[Inputs]:
    """Dimensions of the tyre, and those of the wheel that are uncertain."""
    corner = setting.corner
    at = moments.axial_mm, moments.radius_mm

    def gap(what: str, by_mm: float) -> Array:
        return resized_gaps(corner, section, at, what, by_mm)

    blocks = []
    for what, (sigma, scope) in solid_sigmas(setting, section, ledger).items():
        if not sigma:
            continue
        try:
            slope = central(lambda h, what=what: gap(what, h), STEP_MM)  # type: ignore[misc]
        except BadSection:  # at the edge of what is a tyre: the step on the side that is one
            slope = (gap(what, 0.0) - gap(what, -STEP_MM)) / STEP_MM
        blocks.append(Inputs.single(what, JOB, scope, slope * sigma))
    return blocks


def solid_sigmas(
    setting: Setting, section: Section, ledger: Ledger
) -> dict[str, tuple[float, Hashable]]:
    """By dimension its standard uncertainty (mm), and what the corners that share it share."""
    wheel, tyre, own = setting.corner.wheel, setting.corner.tyre, setting.room.corner
    width_known, diameter_known = tyre.how_width_is_known, tyre.how_diameter_is_known
    make: Hashable = replace(tyre, worn_mm=0.0, growth_mm=0.0, largest_allowed=False)
    sigmas: dict[str, tuple[float, Hashable]] = {
        "section width": (
            ledger.sigma(tyre.sigma_width_mm, WIDTHS[width_known]),
            own if width_known == MEASURED else make,
        ),
        "overall diameter": (
            ledger.sigma(tyre.sigma_diameter_mm, DIAMETERS[diameter_known]),
            own if diameter_known == MEASURED else make,
        ),
        "wheel offset": (ledger.sigma(wheel.sigma_offset_mm, defaults.OFFSET), own),
        "rim flange": (ledger.sigma(wheel.sigma_flange_mm, defaults.FLANGE), own),
    }
    if not tyre.profile:
        width = section.mounted.section_width_mm
        sigmas["tread width"] = (_tread_sigma(tyre, width, ledger), make)
        sigmas["shoulder drop"] = (_shoulder_sigma(tyre, ledger), make)
    for what, stated in (
        ("wheel width", wheel.sigma_width_mm),
        ("barrel", wheel.sigma_barrel_mm),
        ("back of the spokes", wheel.sigma_spoke_mm),
    ):
        if stated is not None:
            sigmas[what] = (stated, own)
    return sigmas


def _tread_sigma(tyre: Tyre, width_mm: float, ledger: Ledger) -> float:
    """A tread that was classed by eye or read with a tape is better known than one that was not."""
    if tyre.sigma_tread_mm is not None:
        return tyre.sigma_tread_mm
    seen = tyre.shoulder or tyre.tread_width_mm is not None
    return ledger.sigma(None, defaults.TREAD_CLASSED if seen else defaults.TREAD_WIDTH) * width_mm


def _shoulder_sigma(tyre: Tyre, ledger: Ledger) -> float:
    seen = tyre.shoulder or tyre.shoulder_drop_mm is not None
    default = defaults.SHOULDER_CLASSED if seen else defaults.SHOULDER_DROP
    return ledger.sigma(tyre.sigma_shoulder_mm, default)
