"""Drawings beyond the engine: kept with a check, plotted on pages, set on paper."""
