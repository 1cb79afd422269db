"""Caster from a camber sweep: four numbers for each front wheel, and what they come to."""

from __future__ import annotations

from collections.abc import Mapping

from alignment.fields.table_rows import EntryRow
from alignment.fields.unit_fields import TypedField, TypedForm
from alignment.text.labels import corner_here
from alignment.visits.services.sweeps import STEERS, STEPS, SWEPT, Sweep, sweep_of


class SweepsForm(TypedForm):
    """``sweeps`` holds the sweeps by corner once the form is clean."""

    def add_sweeps(self) -> None:
        for corner in SWEPT:
            for step, words, _hint in STEPS:
                self.fields[f"sweep_{corner}_{step}"] = TypedField(
                    f"sweep_{corner}",
                    label=f"{words}, {corner_here(corner)}",
                    signed=step not in STEERS,
                )

    @property
    def sweep_rows(self) -> list[EntryRow]:
        left, right = SWEPT
        return [
            EntryRow(
                str(words),
                str(hint),
                (self[f"sweep_{left}_{step}"], self[f"sweep_{right}_{step}"]),
            )
            for step, words, hint in STEPS
        ]

    @property
    def sweep_told(self) -> list[tuple[str, str]]:
        return [(corner, self.understood.get(f"sweep_{corner}", "")) for corner in SWEPT]

    @property
    def has_sweep(self) -> bool:
        return any(self[f"sweep_{c}_{step}"].value() for c in SWEPT for step, *_rest in STEPS)

    def clean_sweeps(self, inclinations: Mapping[str, float]) -> dict[str, Sweep]:
        found = {}
        for corner in SWEPT:
            typed = {s: self.cleaned_data.get(f"sweep_{corner}_{s}") or "" for s, *_rest in STEPS}
            sweep, step, reason = sweep_of(typed, inclinations.get(corner))
            if reason:
                self.add_error(f"sweep_{corner}_{step}", reason)
            if sweep is not None:
                self.understood[f"sweep_{corner}"] = sweep.words
                found[corner] = sweep
        return found
