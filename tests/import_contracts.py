"""Rules on imports that the site has beyond those of import-linter; ``pyproject.toml`` names them.

An app holds capabilities, a package each, and packages that all of them share. Here a *door* is a
module of a capability that others may import, and a *floor* a kind of module by the end of its
name: ``views`` and ``curve_views`` stand on one floor.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator
from typing import cast

from grimp import ImportGraph
from importlinter import Contract, ContractCheck, fields, output


class _OfCapabilities(Contract):
    """Looks at every import from inside a capability.

    A contract finds what its fields read from ``pyproject.toml`` where the fields stand.
    """

    apps = cast("list[str]", fields.ListField(subfield=fields.StringField()))
    #: Packages below the capabilities, open to all of them.
    shared = cast("set[str]", fields.SetField(subfield=fields.StringField()))
    #: What puts capabilities together: their addresses, registration, the demo.
    composers = cast("set[str]", fields.SetField(subfield=fields.StringField()))
    said = ""

    def check(self, graph: ImportGraph, verbose: bool) -> ContractCheck:
        broken = [
            (importer, imported)
            for importer in sorted(graph.modules)
            if self.is_bound(importer)
            for imported in sorted(graph.find_modules_directly_imported_by(importer))
            if not self.allows(importer, imported)
        ]
        return ContractCheck(kept=not broken, metadata={"broken": broken})

    def is_bound(self, module: str) -> bool:
        """Whether a module lies in a capability."""
        app, _, rest = module.partition(".")
        inside = rest.partition(".")[0]
        return app in self.apps and bool(inside) and inside not in self.shared | self.composers

    @abstractmethod
    def allows(self, importer: str, imported: str) -> bool:
        """Whether one module may import the other."""

    def render_broken_contract(self, check: ContractCheck) -> None:
        for importer, imported in check.metadata["broken"]:
            output.print_error(f"{importer} {self.said} {imported}", bold=False)
        output.new_line()


class Doors(_OfCapabilities):
    """One capability imports another through its doors alone."""

    type_name = "doors"
    doors = cast("set[str]", fields.SetField(subfield=fields.StringField()))
    said = "may not import, which is no door:"

    def allows(self, importer: str, imported: str) -> bool:
        if not self.is_bound(imported) or _capability(importer) == _capability(imported):
            return True
        inside = imported.split(".")[2:]
        return bool(inside) and inside[0] in self.doors


class Floors(_OfCapabilities):
    """Within an app, a module imports what stands on its own floor or below.

    ``floors`` holds the ends of names from the top down, several a floor with blanks between;
    ``*`` is the floor of every other module.
    """

    type_name = "floors"
    floors = cast("list[str]", fields.ListField(subfield=fields.StringField()))
    said = "may not import from a floor above:"

    def allows(self, importer: str, imported: str) -> bool:
        if importer.partition(".")[0] != imported.partition(".")[0] or not self.is_bound(imported):
            return True
        return self.floor_of(importer) <= self.floor_of(imported)

    def floor_of(self, module: str) -> int:
        """The number of a module's floor, counted from the top."""
        name = module.rpartition(".")[2]
        return next(
            (number for number, ends in self._ends() if name.split("_")[-1] in ends),
            self.floors.index("*"),
        )

    def _ends(self) -> Iterator[tuple[int, list[str]]]:
        return ((number, floor.split()) for number, floor in enumerate(self.floors))


def _capability(module: str) -> tuple[str, ...]:
    return tuple(module.split(".")[:2])
