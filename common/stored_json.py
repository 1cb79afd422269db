"""Documents that are kept as JSON for years, and read by later versions of this program.

Every kind of document has one :class:`Schema`. What is written carries the name and the version
of its schema; what is read comes out in today's shape, whichever version wrote it. So code that
uses a kept document meets one shape of it, and a change of shape is one function here below the
schema: the upgrade from the shape before.

To change a shape: change what writes it, append to ``upgrades`` the function that turns the old
shape into the new one, and test it with a document of the old shape.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

NAME_KEY, VERSION_KEY, CONTENT_KEY = "schema", "version", "content"
KEYS = {NAME_KEY, VERSION_KEY, CONTENT_KEY}

Upgrade = Callable[[Any], Any]


class UnreadableDocument(ValueError):
    """A kept document that this version cannot read; the text names its schema and why."""


@dataclass(frozen=True)
class Schema:
    """One kind of kept document. The shape after ``upgrades[-1]`` is today's.

    ``upgrades[0]`` takes version 1 to version 2, and so on; each answers a new document and may
    rely on the shape of the version before. A document without a version is of version 1.
    """

    name: str
    upgrades: tuple[Upgrade, ...] = ()

    @property
    def version(self) -> int:
        """The version that is written."""
        return len(self.upgrades) + 1

    def write(self, content: Any) -> dict[str, Any]:
        """A document of today's shape as it is to be kept."""
        return {NAME_KEY: self.name, VERSION_KEY: self.version, CONTENT_KEY: content}

    def read(self, kept: Any) -> Any:
        """A kept document in today's shape.

        Raises UnreadableDocument for one of another schema or of a version not known yet.
        """
        version, content = 1, kept
        if is_kept(kept):
            version, content = self._version_of(kept), kept[CONTENT_KEY]
        for upgrade in self.upgrades[version - 1 :]:
            content = upgrade(content)
        return content

    def _version_of(self, kept: Mapping[str, Any]) -> int:
        name, version = kept[NAME_KEY], kept[VERSION_KEY]
        if name != self.name:
            raise UnreadableDocument(f"This is a {name}, where a {self.name} is kept.")
        if not isinstance(version, int) or isinstance(version, bool) or version < 1:
            raise UnreadableDocument(f"A {name} has no version {version!r}.")
        if version > self.version:
            raise UnreadableDocument(
                f"This {name} is of version {version}, and this program reads versions up to "
                f"{self.version}: it was written by a later release."
            )
        return version


def is_kept(document: Any) -> bool:
    """Whether a document carries its schema, as :meth:`Schema.write` has it."""
    return isinstance(document, Mapping) and set(document) == KEYS
