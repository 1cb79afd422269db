"""Template filters of the site; every template has them without loading."""

from __future__ import annotations

from django import template

register = template.Library()
