"""The app of surveys, wheels, tyres and clearance checks."""

from django.apps import AppConfig
from django.utils.translation import gettext_noop as _


class FitmentConfig(AppConfig):
    name = "fitment"
    verbose_name = "Fitment"

    def ready(self) -> None:
        """Plug the capabilities into the shop and into alignment."""
        from alignment.text.render import register
        from fitment.demo.build import build
        from fitment.text.messages import MESSAGES
        from fitment.text.page_help import OF_FITMENT
        from shop.extensions.points import DEMO_BUILDERS, PAGE_HELP

        for plug_in in (_surveys, _catalogue, _mounting, _clearance, _tryout, _navigation):
            plug_in()
        DEMO_BUILDERS.register(build, position=50)
        for position, page in enumerate(OF_FITMENT, start=201):
            PAGE_HELP.register(page, position=position)
        register(MESSAGES)


def _surveys() -> None:
    from fitment.surveys import panels
    from fitment.surveys.first_step import FIRST_SURVEY
    from shop.extensions.panels import NavigationLink
    from shop.extensions.points import CAR_MODEL_PANELS, FIRST_STEPS, ORDER_ANSWERS, WAYS_OUT

    FIRST_STEPS.register(FIRST_SURVEY, position=45)
    ORDER_ANSWERS.register(panels.survey_answers, position=40)
    CAR_MODEL_PANELS.register(panels.surveys_panel, position=10)
    way_out = NavigationLink("survey_sessions", _("Withdraw a survey reading"))
    WAYS_OUT.register(way_out, position=10)


def _catalogue() -> None:
    from fitment.catalogue.found import TYRES, WHEELS
    from shop.extensions.points import SEARCH_GROUPS
    from shop.models.orders import WorkOrderQuerySet

    SEARCH_GROUPS.register(WHEELS, position=110)
    SEARCH_GROUPS.register(TYRES, position=120)
    WorkOrderQuerySet.search_beside("order_wheels__tyre", "order_wheels__wheel")


def _mounting() -> None:
    from fitment.mounting import panels, sheet
    from fitment.mounting.class_rules import judge_wheels
    from fitment.mounting.copying import copy_wheels
    from fitment.mounting.dry_fit_gate import dry_fit_gate
    from fitment.mounting.gate import mounting_decisions, mounting_gate
    from fitment.mounting.line_hints import wheel_hints
    from fitment.mounting.services.dry_fits import dry_fits_due
    from fitment.mounting.services.quoted_job import wheels_quoted
    from shop.extensions import points

    points.BOOKING_GATES.register(mounting_gate, position=20)
    points.DECISIONS_DUE.register(mounting_decisions, position=20)
    points.BOOKING_GATES.register(dry_fit_gate, position=30)
    points.DRY_FITS_DUE.register(dry_fits_due, position=10)
    points.QUOTED_JOBS.register(wheels_quoted, position=20)
    points.CLASS_JUDGES.register(judge_wheels, position=30)
    points.LINE_HINTS.register(wheel_hints, position=10)
    points.ORDER_COPIES.register(copy_wheels, position=20)

    points.ORDER_ANSWERS.register(panels.wheels_answers, position=20)
    points.ORDER_ANSWERS.register(panels.mounting_answers, position=50)
    points.ORDER_ANSWERS.register(panels.guides_answers, position=60)
    points.ORDER_ANSWERS.register(panels.earlier_jobs_answers, position=70)
    points.CAR_MODEL_PANELS.register(panels.car_model_guides_panel, position=30)
    points.SHEET_SECTIONS.register(sheet.wheels_section, position=20)
    points.SHEET_SECTIONS.register(sheet.mounting_section, position=30)


def _clearance() -> None:
    from alignment.adjustments.extension_points import ADJUSTMENT_CLEARANCE, CORNER_MOTION
    from fitment.clearance import panels, sheet
    from fitment.clearance.adjustment_clearance import clearance_after
    from fitment.clearance.decisions import clearance_decisions
    from fitment.clearance.gate import clearance_gate
    from fitment.clearance.line_hints import adjuster_hints
    from fitment.clearance.road_test import road_test_against_check
    from fitment.clearance.suspension_models import motions_of_order
    from shop.extensions import points

    points.BOOKING_GATES.register(clearance_gate, position=10)
    points.LINE_HINTS.register(adjuster_hints, position=30)
    points.DECISIONS_DUE.register(clearance_decisions, position=10)
    points.ROAD_TEST_CHECKS.register(road_test_against_check, position=10)
    points.ORDER_ANSWERS.register(panels.clearance_answers, position=30)
    points.CUSTOMER_PANELS.register(panels.customer_clearance_panel, position=10)
    points.ROAD_TEST_PANELS.register(panels.road_test_panel, position=10)
    points.SHEET_DRAWINGS.register(sheet.clearance_section, position=10)
    points.SHEET_DRAWINGS.register(sheet.curves_section, position=20)
    CORNER_MOTION.fill(motions_of_order)
    ADJUSTMENT_CLEARANCE.fill(clearance_after)


def _tryout() -> None:
    from fitment.tryout.quote_notes import options_notes
    from fitment.tryout.search_job import TASK
    from fitment.tryout.tasks import search_run
    from shop.extensions import points
    from shop.extensions.background import TaskKind

    points.QUOTE_NOTES.register(options_notes, position=10)
    points.TASK_KINDS.register(TaskKind(TASK, search_run), position=10)


def _navigation() -> None:
    from shop.extensions.panels import NavigationLink as Link
    from shop.extensions.points import NAVIGATION

    records, shop, managers = _("Records"), _("Shop"), ("manager",)
    for position, link in {
        30: Link("tryout", _("Try-out")),
        35: Link("walk_in", _("Walk-in"), ("writer",)),
        32: Link("widest", _("Widest tyre")),
        140: Link("wheel_list", _("Wheels"), group=records),
        150: Link("tyre_list", _("Tyres"), group=records),
        170: Link("guide_list", _("Fitment tables"), group=records),
        190: Link("use_list", _("Use profiles"), group=records),
        210: Link("comeback_list", _("Comebacks"), managers, shop),
        240: Link("law", _("Limits and rules"), managers, shop),
    }.items():
        NAVIGATION.register(link, position=position)
