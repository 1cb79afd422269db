"""Wheels and tyres of the catalogue, as the search of every page finds them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.utils.translation import gettext_noop as _

from fitment.models import TyreModel, WheelModel
from shop.extensions.found import FoundRow, SearchGroup


def _rows(items: Iterable[Any]) -> list[FoundRow]:
    return [FoundRow(str(item), item.get_absolute_url(), item.maker) for item in items]


WHEELS = SearchGroup("wheels", _("Wheels"), WheelModel.objects.search, _rows)
TYRES = SearchGroup("tyres", _("Tyres"), TyreModel.objects.search, _rows)
