"""Why settings of an axle are refused where they are typed, on every form that takes them."""

from django.utils.translation import gettext_lazy as _

NO_CAMBER_METHOD = _(
    "Choose how camber is set; clearance depends on it. A longer lower arm moves the bottom of "
    "the wheel out, a top mount moves its top in."
)
NO_CAMBER = _("Enter camber or clear the method.")
NO_TOE = _("Enter toe per wheel (0 is allowed).")
NO_ROD = _("Enter the name of the link, as in the survey.")
NEGATIVE = _("Must be zero or more.")
