"""The app of surveys, wheels, tyres and clearance checks."""

from django.apps import AppConfig
from django.utils.translation import gettext_noop as _


class FitmentConfig(AppConfig):
    name = "fitment"
    verbose_name = "Fitment"

    def ready(self) -> None:
        """Register what fitment plugs into the shop and into alignment."""
        from alignment.adjustments.extension_points import ADJUSTMENT_CLEARANCE, CORNER_MOTION
        from alignment.text.render import register
        from fitment.clearance import panels as clearance
        from fitment.clearance.adjustment_clearance import clearance_after
        from fitment.clearance.gate import clearance_gate
        from fitment.clearance.road_test import road_test_against_check
        from fitment.clearance.sheet import clearance_section, curves_section
        from fitment.clearance.suspension_models import motions_of_order
        from fitment.demo.build import build
        from fitment.mounting import panels as mounting
        from fitment.mounting.class_rules import judge_wheels
        from fitment.mounting.dry_fit_gate import dry_fit_gate
        from fitment.mounting.gate import mounting_gate
        from fitment.mounting.line_hints import wheel_hints
        from fitment.mounting.services.dry_fits import dry_fits_due
        from fitment.mounting.services.quoted_job import wheels_quoted
        from fitment.mounting.sheet import mounting_section, wheels_section
        from fitment.surveys import panels as surveys
        from fitment.text.messages import MESSAGES
        from fitment.tryout.quote_notes import options_notes
        from fitment.tryout.search_job import TASK
        from fitment.tryout.tasks import search_run
        from shop.extensions import points
        from shop.extensions.background import TaskKind
        from shop.extensions.panels import NavigationLink

        points.BOOKING_GATES.register(clearance_gate, position=10)
        points.BOOKING_GATES.register(mounting_gate, position=20)
        points.BOOKING_GATES.register(dry_fit_gate, position=30)
        points.DRY_FITS_DUE.register(dry_fits_due, position=10)
        points.QUOTED_JOBS.register(wheels_quoted, position=20)

        points.ORDER_PANELS.register(mounting.wheels_panel, position=20)
        points.ORDER_PANELS.register(clearance.clearance_panel, position=30)
        points.ORDER_PANELS.register(surveys.survey_panel, position=40)
        points.ORDER_PANELS.register(mounting.mounting_panel, position=50)
        points.ORDER_PANELS.register(mounting.guides_panel, position=60)
        points.ORDER_PANELS.register(mounting.earlier_jobs_panel, position=70)
        points.CUSTOMER_PANELS.register(clearance.customer_clearance_panel, position=10)
        points.CAR_MODEL_PANELS.register(surveys.surveys_panel, position=10)
        points.CAR_MODEL_PANELS.register(mounting.car_model_guides_panel, position=30)

        points.SHEET_SECTIONS.register(wheels_section, position=20)
        points.SHEET_SECTIONS.register(mounting_section, position=30)
        points.SHEET_DRAWINGS.register(clearance_section, position=10)
        points.SHEET_DRAWINGS.register(curves_section, position=20)

        points.CLASS_JUDGES.register(judge_wheels, position=30)
        points.ROAD_TEST_CHECKS.register(road_test_against_check, position=10)
        points.LINE_HINTS.register(wheel_hints, position=10)
        points.QUOTE_NOTES.register(options_notes, position=10)
        points.TASK_KINDS.register(TaskKind(TASK, search_run), position=10)
        CORNER_MOTION.fill(motions_of_order)
        ADJUSTMENT_CLEARANCE.fill(clearance_after)

        points.DEMO_BUILDERS.register(build, position=50)

        records, managers = _("Records"), ("manager",)
        points.WAYS_OUT.register(
            NavigationLink("survey_sessions", _("Withdraw a survey reading")), position=10
        )
        links = points.NAVIGATION
        links.register(NavigationLink("tryout", _("Try-out")), position=30)
        links.register(NavigationLink("wheel_list", _("Wheels"), group=records), position=140)
        links.register(NavigationLink("tyre_list", _("Tyres"), group=records), position=150)
        links.register(
            NavigationLink("guide_list", _("Fitment tables"), group=records), position=170
        )
        links.register(NavigationLink("use_list", _("Use profiles"), group=records), position=190)
        links.register(
            NavigationLink("comeback_list", _("Comebacks"), managers, _("Shop")), position=210
        )
        links.register(
            NavigationLink("law", _("Limits and rules"), managers, _("Shop")), position=240
        )

        register(MESSAGES)
