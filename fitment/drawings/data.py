"""Plots on pages: which can be chosen, the drawing, and its figures."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.safestring import SafeString

from fitment.engine.drawing.scene import Text


@dataclass(frozen=True)
class Choice:
    """One plot that can be chosen."""

    words: str
    url: str
    current: bool = False


@dataclass(frozen=True)
class Figures:
    """A plot as a table: what each column holds, and rows of numbers (None: nothing there)."""

    head: tuple[str, ...]
    rows: tuple[tuple[float | None, ...], ...]
    decimals: int


@dataclass(frozen=True)
class Plot:
    """A drawn plot with its figures."""

    svg: SafeString
    legend: tuple[Text, ...]
    figures: Figures
    slopes: str = ""
