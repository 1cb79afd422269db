"""The help of fitment's pages, by the names of their routes."""

from __future__ import annotations

from django.utils.translation import gettext_noop as _

from shop.extensions.help import PageHelp

OF_FITMENT: tuple[PageHelp, ...] = (
    PageHelp(
        (
            "clearance",
            "clearance_check",
            "clearance_car",
            "clearance_curves",
            "clearance_map",
            "clearance_tyre",
            "clearance_poses",
        ),
        _(
            "The wheel is moved through all travel and steering of the use, and the tightest "
            "spot decides. The drawing shows it there, to scale."
        ),
        "section",
        (
            "clearance",
            "spot",
            "use",
            "uncertainty",
            "setting",
        ),
    ),
    PageHelp(
        (
            "tryout",
            "tryout_options",
            "order_tryout",
            "order_options",
            "option_search",
        ),
        _(
            "Change a wheel, a tyre or a setting and see at once what clears. Nothing is "
            "stored until you take it over."
        ),
        "section",
        ("try-out", "options", "packer", "effects", "use"),
    ),
    PageHelp(
        ("gaps",),
        _(
            "Gaps read on this very car correct what the survey of its model says. Say where "
            "the wheel stood when you read them."
        ),
        "survey",
        ("this car's gaps", "spot"),
    ),
    PageHelp(
        ("order_wheels", "order_mounting", "order_mounting_checks", "mounting_check", "dry_fit"),
        _(
            "What goes on each axle, and whether it may be mounted: bolts, bore, brake, load "
            "and the tyre on its rim. What is not on record is said, never passed."
        ),
        "wheel",
        ("rule",),
    ),
    PageHelp(
        (
            "guide",
            "guide_list",
            "guide_new",
            "guide_edit",
            "guide_revise",
            "guide_row_new",
            "guide_row_edit",
            "order_guides",
        ),
        _(
            "A fitment table lists sizes with their conditions and its source. An order that "
            "relies on a row is flagged when the row changes."
        ),
        "file",
        ("fitment table",),
    ),
    PageHelp(
        ("law",),
        _(
            "Figures that a law or guidance sets, each with its source. The shop takes over "
            "those that hold where it works."
        ),
        "file",
    ),
    PageHelp(
        (
            "survey",
            "survey_edit",
            "survey_copy",
            "survey_import",
            "survey_mirror",
            "version_withdraw",
        ),
        _(
            "A survey says where the spots of a corner are, and how the wheel moves. A new "
            "version leaves earlier checks as they were."
        ),
        "survey",
        ("spot", "car model", "uncertainty", "compliance"),
    ),
    PageHelp(
        (
            "survey_measure",
            "survey_session",
            "survey_sessions",
            "session_withdraw",
            "joint_fit",
            "travel_sheet",
        ),
        _(
            "One reading a step, in the order of the work, as you read it. What looks odd is "
            "asked at once, and a reading can be taken back."
        ),
        "survey",
        ("spot", "uncertainty"),
    ),
    PageHelp(
        ("wheel_list", "wheel_new", "wheel_edit", "wheel_measure"),
        _(
            "Width between the flanges, diameter, and offset from the middle of the rim to "
            "the hub face. What was measured counts more than what is printed."
        ),
        "wheel",
        ("uncertainty",),
    ),
    PageHelp(
        ("tyre_list", "tyre_new", "tyre_edit", "tyre_measure"),
        _(
            "The size says the nominal width; the maker's sheet or your own reading says the "
            "real one. A measured width makes the answer sharper."
        ),
        "wheel",
        ("uncertainty",),
    ),
    PageHelp(
        ("wheel_import", "tyre_import"),
        _(
            "A table in CSV becomes rows of the catalogue. Look at the preview: nothing is "
            "kept while a line is wrong."
        ),
        "file",
    ),
    PageHelp(
        ("use_list", "use_edit"),
        _(
            "A use says how far the wheel rises at how much steering. Clearance is checked "
            "over exactly that."
        ),
        "readings",
        ("use",),
    ),
    PageHelp(
        ("comeback_list", "order_earlier_jobs"),
        _(
            "What came back, beside what was predicted for that spot. Look here before you "
            "trust a survey again."
        ),
        "section",
        ("spot",),
    ),
    PageHelp(
        ("widest",),
        _(
            "Type car, height and camber: the answer is the widest tyre that clears there. "
            "Wider ones are named with the spot or the rule that stands against them."
        ),
        "section",
        ("clearance", "spot"),
    ),
)
