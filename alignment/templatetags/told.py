"""Messages in templates; every template has the filter without loading it."""

from __future__ import annotations

from typing import Any

from django import template

from alignment.text.render import render
from common.message import Message

register = template.Library()


@register.filter
def told(value: Message | str | tuple[Any, ...] | None) -> str:
    """A message as the staff read it; a text is a name and stands as it is, nothing stays empty."""
    return "" if value is None else render(value)
