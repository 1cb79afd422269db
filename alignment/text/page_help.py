"""The help of alignment's pages, by the names of their routes."""

from __future__ import annotations

from django.utils.translation import gettext_noop as _

from shop.extensions.help import PageHelp

OF_ALIGNMENT: tuple[PageHelp, ...] = (
    PageHelp(
        ("adjustments",),
        _(
            "From readings and targets follows what a hand moves, in turns, shims or marks. "
            "Read again afterwards: the next answer starts from there."
        ),
        "readings",
        ("adjustments", "effects", "setting"),
    ),
    PageHelp(
        ("plan_edit",),
        _(
            "Enter camber and toe as you want them, and what sets the camber. The clearance "
            "check moves the wheel to that setting."
        ),
        "readings",
        ("setting", "camber set with"),
    ),
    PageHelp(
        ("visit", "visit_new", "visit_edit", "visit_others", "vehicle_readings", "order_readings"),
        _(
            "Readings are kept as they were typed, with their unit. A value out of tolerance "
            "says by how much in its own cell."
        ),
        "readings",
        ("uncertainty",),
    ),
    PageHelp(
        ("readings_import", "import_layout", "import_layout_list", "import_layout_new"),
        _(
            "A table that the rack writes is read by a layout, which names its columns. Look "
            "at the preview before you keep it."
        ),
        "file",
    ),
    PageHelp(
        ("target", "target_list", "target_new", "target_edit"),
        _(
            "Targets and tolerances of a car model, with their source. An earlier version "
            "stays with the orders that used it."
        ),
        "readings",
        ("car model",),
    ),
)
