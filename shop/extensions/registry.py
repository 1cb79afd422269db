"""Points at which apps plug into one another: named, typed, and closed once the site has started.

A point belongs to the app that asks. The apps above it register what they answer with in
``AppConfig.ready()``, so a plug that is missing, misspelt or of the wrong shape stops the start::

    ORDER_ANSWERS: Point[OrderAnswers] = Point("order answers", OrderAnswers)
    ORDER_ANSWERS.register(wheels_answers, position=20)

The shape of a point is a protocol with ``__call__``, or a class whose instances are plugged in.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, Generic, TypeVar

from django.apps import apps
from django.core.exceptions import ImproperlyConfigured

Plug = TypeVar("Plug")


class BadPlug(ImproperlyConfigured):
    """Something was plugged in that does not fit; the text names the point and the plug."""


class Registry:
    """All points of a site by name. It is closed when ``is_closed()`` says so."""

    def __init__(self, is_closed: Callable[[], bool]) -> None:
        self.points: dict[str, Point[Any]] = {}
        self.is_closed = is_closed

    def add(self, point: Point[Any]) -> None:
        """Make a point known. Raises BadPlug where its name is taken."""
        if point.name in self.points:
            raise BadPlug(f"{point.name}: two points have this name.")
        self.points[point.name] = point


#: The points of this site; the last ``ready()`` closes it.
site_registry = Registry(is_closed=lambda: bool(apps.ready))


class Point(Generic[Plug]):
    """One place where other apps plug in, each at a position of its own."""

    def __init__(self, name: str, shape: type[Any], registry: Registry = site_registry) -> None:
        self.name = name
        self._shape = shape
        self._registry = registry
        self._plugs: dict[int, Plug] = {}
        registry.add(self)

    def register(self, plug: Plug, *, position: int) -> None:
        """Plug something in at a position; lower ones come first.

        Raises BadPlug after the start, for a plug of another shape than the point's, for one
        that is plugged in already, and for a position that is taken.
        """
        if self._registry.is_closed():
            raise BadPlug(
                f"{self.name}: {_named(plug)} comes too late. Register it in AppConfig.ready()."
            )
        if plug in self._plugs.values():
            raise BadPlug(f"{self.name}: {_named(plug)} is registered twice.")
        if position in self._plugs:
            other = _named(self._plugs[position])
            raise BadPlug(
                f"{self.name}: {_named(plug)} and {other} both ask for position {position}."
            )
        self._check(plug)
        self._plugs[position] = plug

    def __iter__(self) -> Iterator[Plug]:
        """What is plugged in, by position."""
        return iter([self._plugs[at] for at in sorted(self._plugs)])

    @contextmanager
    def swapped(self, *plugs: Plug) -> Iterator[None]:
        """For tests: these plugs, in this order, in the place of those that are registered."""
        for plug in plugs:
            self._check(plug)
        registered, self._plugs = self._plugs, dict(enumerate(plugs))
        try:
            yield
        finally:
            self._plugs = registered

    def _check(self, plug: object) -> None:
        if wrong := _misfit(plug, self._shape):
            raise BadPlug(f"{self.name}: {_named(plug)} {wrong}.")


class Slot(Point[Plug]):
    """A point that takes one plug at most."""

    def fill(self, plug: Plug) -> None:
        """Plug in the one. Raises BadPlug as ``register`` does, and where there is one already."""
        self.register(plug, position=0)

    @property
    def plug(self) -> Plug | None:
        """What is plugged in; None where nothing is."""
        return next(iter(self), None)


def _misfit(plug: object, shape: type[Any]) -> str:
    """Why a plug does not have the shape of its point; empty where it does."""
    call = vars(shape).get("__call__")
    if call is None:
        return "" if isinstance(plug, shape) else f"is no {shape.__name__}"
    if not callable(plug):
        return "cannot be called"
    _, *wanted = inspect.signature(call).parameters
    try:
        inspect.signature(plug).bind(*wanted)
    except TypeError as error:
        return f"does not take ({', '.join(wanted)}): {error}"
    return ""


def _named(plug: object) -> str:
    """The plug as a person finds it: its module and name, or what it is."""
    name = getattr(plug, "__qualname__", "")
    return f"{getattr(plug, '__module__', '')}.{name}" if name else repr(plug)
