"""Words that shops type: places of a car, units of the hand, tools.

They are looked up where a customer reads them, and stand as typed where a catalogue lacks them.
"""

from __future__ import annotations

from django.utils.translation import gettext_noop as _

TYPED: tuple[str, ...] = (
    _("arch liner"),
    _("anti-roll bar"),
    _("arch edge"),
    _("arch lip"),
    _("brake caliper"),
    _("bump stop"),
    _("damper body"),
    _("frame rail"),
    _("inner panel"),
    _("knuckle"),
    _("liner, front"),
    _("liner, rear"),
    _("lower arm"),
    _("spring perch"),
    _("Spring perch"),
    _("strut"),
    _("strut tube"),
    _("sway bar"),
    _("sway bar link"),
    _("toe link"),
    _("upper arm"),
    _("upper ball joint"),
    _("lower ball joint"),
    _("mark"),
    _("marks"),
    _("turn"),
    _("turns"),
    _("flat"),
    _("flats"),
    _("shim"),
    _("shims"),
    _("out"),
    _("tyre"),
    _("wheel"),
    _("rim"),
    _("torque wrench"),
)
