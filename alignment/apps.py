"""The app of planned settings and rack readings."""

from django.apps import AppConfig
from django.utils.translation import gettext_noop as _


class AlignmentConfig(AppConfig):
    name = "alignment"
    verbose_name = "Alignment"

    def ready(self) -> None:
        """Register what alignment plugs into the shop."""
        from alignment.demo import build, history, targets
        from alignment.plans.copying import copy_plan
        from alignment.plans.line_hints import plan_hints
        from alignment.plans.panels import plan_answers
        from alignment.plans.services.class_rules import judge_settings
        from alignment.plans.services.quoted_job import settings_quoted
        from alignment.targets.panels import targets_panel
        from alignment.text.adjustment_messages import ADJUSTMENTS
        from alignment.text.messages import MESSAGES
        from alignment.text.page_help import OF_ALIGNMENT
        from alignment.text.question_messages import QUESTIONS
        from alignment.text.render import register
        from alignment.visits.panels import readings_answers, vehicle_readings_panel
        from alignment.visits.sheet import readings_section
        from shop.extensions import points
        from shop.extensions.panels import NavigationLink

        points.ORDER_ANSWERS.register(plan_answers, position=10)
        points.ORDER_ANSWERS.register(readings_answers, position=80)
        points.VEHICLE_PANELS.register(vehicle_readings_panel, position=10)
        points.CAR_MODEL_PANELS.register(targets_panel, position=20)
        points.SHEET_SECTIONS.register(readings_section, position=10)
        points.CLASS_JUDGES.register(judge_settings, position=20)

        points.QUOTED_JOBS.register(settings_quoted, position=10)
        points.LINE_HINTS.register(plan_hints, position=20)
        points.ORDER_COPIES.register(copy_plan, position=10)

        points.DEMO_BUILDERS.register(build.build, position=20)
        points.DEMO_BUILDERS.register(targets.build, position=30)
        points.DEMO_BUILDERS.register(history.build, position=40)

        for position, page in enumerate(OF_ALIGNMENT, start=101):
            points.PAGE_HELP.register(page, position=position)

        layouts = NavigationLink(
            "import_layout_list", _("Import layouts"), ("technician",), _("Records")
        )
        points.NAVIGATION.register(layouts, position=200)

        for sentences in (MESSAGES, ADJUSTMENTS, QUESTIONS):
            register(sentences)
