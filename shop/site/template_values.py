"""Values that templates name by the names that the code gives them."""

from __future__ import annotations

from enum import Enum


class NoSuchMember(Exception):
    """A template names a member that an enum does not have."""


class Members:
    """An enum for templates: ``{{ GateResult.STALE }}``.

    Django would call the class of an enum, and would read a misspelt member as nothing; here
    it raises NoSuchMember, so that the page fails where the word is wrong.
    """

    def __init__(self, enum: type[Enum]) -> None:
        self._enum = enum

    def __getitem__(self, name: str) -> Enum:
        try:
            return self._enum[name]
        except KeyError:
            raise NoSuchMember(f"{self._enum.__name__} has no member {name}") from None
