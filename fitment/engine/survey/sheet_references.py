"""What other readings are counted from: the rim plane, the cap, and the tyre that is on the car.

The newest reading of a reference counts, for all points, whenever they were read.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from common.rims import specified_diameter_mm
from common.units import MM_PER_INCH
from fitment.engine.checkfile import Measured
from fitment.engine.checkfile.profile import profile_fault
from fitment.engine.model import Tyre, Wheel
from fitment.engine.solid.designation import BadSize, size_of
from fitment.engine.solid.mounted import BadSection
from fitment.engine.solid.section import Section, section_of
from fitment.engine.survey import surveying
from fitment.engine.survey.reading_values import pairs_of
from fitment.engine.survey.readings import KIND_CHOICES, THIS_CAR, Reading
from fitment.engine.survey.surveying import BadReading, Measure

#: Rims that there are, inches.
RIM_WIDTHS_IN = (3.0, 16.0)


class References:
    """Readings of one corner, and the survey ``base`` that they correct, if there is one."""

    def __init__(self, readings: Sequence[Reading], base: Measured | None = None) -> None:
        self.readings = tuple(readings)
        self.base = base

    def newest(
        self, form: str, pose: str | None = None, place: str | None = None
    ) -> Reading | None:
        """The newest reading of a form (in a pose, at a place)."""
        for reading in reversed(self.readings):
            if (
                reading.form == form
                and (pose is None or reading.pose == pose)
                and (place is None or reading.place == place)
            ):
                return reading
        return None

    @property
    def kind(self) -> str:
        """The kind of suspension: of the survey that is corrected, else as it was seen."""
        if self.base is not None and not self.base.suspension.typical:
            return self.base.suspension.kind
        read = self.newest("plan")
        return KIND_CHOICES.get(read.text("kind"), "") if read else ""

    @property
    def this_car_only(self) -> bool:
        """Whether only this car's room is to be held against its own wheel."""
        read = self.newest("plan")
        return read is not None and read.text("level") == THIS_CAR

    @cached_property
    def rim(self) -> Measure:
        """Axial of the rim plane. Raises BadReading while nothing tells it."""
        read = self.newest("front_space")
        if read is None:
            raise BadReading("", "Read the front space first: this one is counted from it.")
        return rim_of(read)

    @cached_property
    def cap(self) -> Measure:
        """Axial of the cap's middle. Raises BadReading while nothing tells it."""
        rim, read = self.rim, self.newest("front_space")
        return surveying.cap_plane(rim, (read.number("cap_depth_mm") if read else None) or 0.0)

    @cached_property
    def section(self) -> Section | None:
        """Section of the wheel and tyre on the car; None while they are not known."""
        fitted = self.fitted
        return section_of(*fitted) if fitted else None

    @cached_property
    def fitted(self) -> tuple[Wheel, Tyre] | None:
        """Wheel and tyre on the car by what was read of them; None while that is too little.

        Raises BadReading where the figures make no tyre.
        """
        read, space = self.newest("present_tyre"), self.newest("front_space")
        if read is None or space is None:
            return None
        width = read.number("rim_width_in") or 0.0
        spacer = space.number("spacer_mm") or 0.0
        try:
            size = size_of(read.text("size"))
        except BadSize as bad:
            raise BadReading("size", str(bad)) from None
        if not RIM_WIDTHS_IN[0] <= width <= RIM_WIDTHS_IN[1]:
            raise BadReading("rim_width_in", "no rim is that wide; it is asked in inches")
        profile = pairs_of("profile", read.text("profile"))
        if profile and (fault := profile_fault(profile, specified_diameter_mm(size.rim_in) / 2)):
            raise BadReading("profile", fault)
        flange = Wheel(size.rim_in, width, 0.0).flange_mm
        offset = MM_PER_INCH * width / 2 + flange - (rim_of(space).value - spacer)
        around = read.number("circumference_mm")
        wheel = Wheel(
            size.rim_in,
            width,
            offset,
            spacer,
            rim_diameter_mm=specified_diameter_mm(size.rim_in),
        )
        tyre = Tyre(
            read.text("size"),
            section_width_mm=read.number("section_width_mm"),
            overall_diameter_mm=2 * surveying.tyre_radius(around).value if around else None,
            profile=profile,
        )
        try:
            section_of(wheel, tyre)
        except BadSection as bad:
            raise BadReading("profile" if tyre.profile else "size", str(bad)) from None
        return wheel, tyre


def rim_of(read: Reading) -> Measure:
    """The rim plane by a reading of the front space, or by the wheel's marks instead."""
    spacer, space = read.number("spacer_mm") or 0.0, read.number("front_space_mm")
    if space is not None:
        return surveying.rim_plane(space, spacer)
    width, offset = read.number("rim_width_in"), read.number("offset_mm")
    if width is None or offset is None:
        raise BadReading("front_space_mm", "read it, or enter the wheel's width and offset")
    if not RIM_WIDTHS_IN[0] <= width <= RIM_WIDTHS_IN[1]:
        raise BadReading("rim_width_in", "no rim is that wide; it is asked in inches")
    return surveying.rim_plane_by_size(width, offset, spacer)
