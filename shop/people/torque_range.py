"""Torques of which a maker gives a range."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _


def check_range(form: Any, low: str, high: str) -> None:
    """Put an error onto the end of a range of torques that has no start, or lies below it."""
    least, most = form.cleaned_data.get(low), form.cleaned_data.get(high)
    if most is not None and (least is None or most < least):
        form.add_error(high, _("Must not be less than the start of the range."))
