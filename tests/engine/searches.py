"""Search files drawn at random, and a full check of every combination of one.

The check of everything shares nothing with the search but the file format and the check itself:
limits, prices and widths are worked out here from the file as it stands.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from typing import Any

import numpy as np

from alignment.geometry.model import KINDS
from common.verdicts import Verdict
from fitment.engine import checkfile
from fitment.engine.check import CannotCheck, run
from fitment.engine.checkfile import BadCheckFile
from fitment.engine.defaults import STREET
from fitment.engine.model import Check
from fitment.engine.solid.designation import Size, size_of
from fitment.engine.solid.permitted_rims import permitted_rims
from tests.engine.close_corners import close_corner

GOALS = ("widest_tyre", "least_cost", "most_clearance", "least_change")
MOST = 400
#: Load in kilograms and speeds are not asked here: only the order of these symbols.
SYMBOLS = ("T", "V", "W", "Y")
SPOKES = [[2.0, 60.0], [6.0, 190.0]]
WHEELS_OF_AN_AXLE = 2


def drawn_search(seed: int) -> dict[str, Any]:
    """A search file of at most ``MOST`` combinations; the first eight seeds have a few dozen."""
    rng = np.random.default_rng([23, seed])
    corner = close_corner(rng, KINDS[seed % len(KINDS)])
    names = ("LF", "RF") if seed % 3 == 1 and corner.limits.steer_in_deg else ("LF",)
    document: dict[str, Any] = checkfile.dump(Check("drawn", STREET, dict.fromkeys(names, corner)))
    if len(names) > 1:  # the other side differs a little
        for point in document["corners"]["RF"]["survey"]["features"][0]["points"]:
            point["radius_mm"] -= 1.5
    small = seed < 8
    wheels = [_wheel(rng, index) for index in range(2 if small else int(rng.integers(3, 6)))]
    tyres = [_tyre(rng, index) for index in range(4 if small else int(rng.integers(5, 8)))]
    height = corner.planned.adjusters.ride_height_mm
    search: dict[str, Any] = {
        "goal": GOALS[seed % len(GOALS)],
        "axle": "front",
        "wheels": wheels,
        "tyres": tyres,
        "limits": {"overall_diameter_mm": [600, 646]},
    }
    if seed % 2:
        search["spacers_mm"] = [0, {"mm": 6, "price": 20}]
    if not small and seed % 3 == 0:
        search["packers_mm"] = [0, 8]
    if seed % 5 == 2:
        search["ride_heights_mm"] = [round(height, 3), round(height + 6.0, 3)]
    counted = len(wheels) * len(tyres)
    for key in ("spacers_mm", "packers_mm", "ride_heights_mm"):
        counted *= len(search.get(key, [0]))
    if not small and 3 * counted <= MOST:
        by = corner.suspension.camber_methods
        search["camber_deg"] = {by[0]: [-2.2, -1.6]}
        search["step"] = {"camber_deg": 0.3}
    if seed % 4 == 3:
        search["limits"] |= {"load_index": 90, "speed_symbol": "V", "budget": 1150}
    document["search"] = search
    return document


def _wheel(rng: np.random.Generator, index: int) -> dict[str, Any]:
    wheel = {
        "name": f"wheel {index}",
        "diameter_in": 17 if rng.random() < 0.85 else 18,
        "width_in": float(rng.choice([7.0, 7.5, 8.0, 8.5, 9.0])),
        "offset_mm": float(rng.integers(30, 52)),
        "barrel_mm": 12,
        "spoke_back": SPOKES,
    }
    if rng.random() < 0.9:
        wheel["price"] = int(rng.integers(150, 400))
    return wheel


def _tyre(rng: np.random.Generator, index: int) -> dict[str, Any]:
    width, aspect = ((205, 50), (215, 45), (225, 45), (235, 45), (245, 40), (255, 40))[
        int(rng.integers(6))
    ]
    size = Size(width, aspect, 17)
    tyre: dict[str, Any] = {"name": f"tyre {index}", "size": f"{width}/{aspect}R17"}
    if rng.random() < 0.6:
        rim = size.measuring_rim_in
        tyre |= {
            "section_width_mm": round(size.section_width_mm(rim) + float(rng.uniform(-4, 4))),
            "measuring_rim_in": rim,
            "overall_diameter_mm": size.overall_diameter_mm + int(rng.integers(-4, 3)),
        }
    if rng.random() < 0.5:
        tyre["rim_in"] = [size.measuring_rim_in - 0.5, size.measuring_rim_in + 1.0]
    if rng.random() < 0.9:
        tyre |= {"load_index": int(rng.integers(86, 98)), "speed_symbol": str(rng.choice(SYMBOLS))}
    if rng.random() < 0.9:
        tyre["price"] = int(rng.integers(90, 260))
    return tyre


@dataclass(frozen=True)
class Combination:
    """One combination of a search file, as its answer names it, with what a check says of it."""

    names: tuple[Any, ...]
    verdict: Verdict | None
    changed: int
    price: float | None
    width_mm: float
    least_mm: float

    @property
    def clears(self) -> bool:
        return self.verdict is not None and self.verdict.clears


def named(option: dict[str, Any]) -> tuple[Any, ...]:
    """What tells an option of an answer apart."""
    keys = ("wheel", "tyre", "spacer_mm", "packer_mm", "ride_height_mm", "camber_deg", "camber_by")
    return tuple(option[key] for key in keys)


def everything(document: dict[str, Any]) -> Iterator[Combination]:
    """A full check of every combination within the limits of a search file."""
    search, plain = document["search"], {k: v for k, v in document.items() if k != "search"}
    first = next(iter(document["corners"].values()))
    for wheel, tyre, spacer, packer, height, camber in product(
        search["wheels"], search["tyres"], _spacers(search, first), *_settings(search, first)
    ):
        if not _within(search["limits"], wheel, tyre):
            continue
        own = _is_own(wheel, first["wheel"]), _is_own(tyre, first["tyre"])
        price = _price(
            wheel | ({"price": 0} if own[0] else {}),
            tyre | ({"price": 0} if own[1] else {}),
            spacer,
        )
        budget = search["limits"].get("budget")
        if budget is not None and (price is None or price > budget):
            continue
        asked = _asked(plain, (wheel, tyre, spacer["mm"]), (packer, height, camber))
        changed = own.count(False) + sum(
            now != planned
            for now, planned in zip(
                (spacer["mm"], packer, height, camber), _planned(first), strict=True
            )
        )
        verdict, least = _checked(asked)
        yield Combination(
            (wheel["name"], tyre["name"], spacer["mm"], packer, height, *camber),
            verdict,
            changed,
            price,
            mounted_width_mm(wheel, tyre),
            least,
        )


def _planned(corner: dict[str, Any]) -> tuple[Any, ...]:
    planned = corner["planned"]
    adjusters = planned.get("adjusters") or {}
    return (
        corner["wheel"].get("spacer_mm", 0.0),
        adjusters.get("bump_stop_mm", 0.0),
        adjusters.get("ride_height_mm", 0.0),
        (planned.get("camber_deg"), planned.get("camber_by")),
    )


def _spacers(search: dict[str, Any], corner: dict[str, Any]) -> list[dict[str, Any]]:
    listed = search.get("spacers_mm", [_planned(corner)[0]])
    return [one if isinstance(one, dict) else {"mm": one, "price": 0} for one in listed]


def _settings(search: dict[str, Any], corner: dict[str, Any]) -> list[list[Any]]:
    _, packer, height, camber = _planned(corner)
    cambers = [camber]
    if "camber_deg" in search:
        ((by, (low, high)),) = search["camber_deg"].items()
        step = search["step"]["camber_deg"]
        count = round((high - low) / step)
        cambers = [(round(low + step * index, 6), by) for index in range(count + 1)]
    return [search.get("packers_mm", [packer]), search.get("ride_heights_mm", [height]), cambers]


def _within(limits: dict[str, Any], wheel: dict[str, Any], tyre: dict[str, Any]) -> bool:
    size = size_of(tyre["size"])
    rims = tyre.get("rim_in") or permitted_rims(size)
    low, high = limits["overall_diameter_mm"]
    return (
        size.rim_in == wheel["diameter_in"]
        and rims is not None
        and rims[0] <= wheel["width_in"] <= rims[1]
        and low <= tyre.get("overall_diameter_mm", size.overall_diameter_mm) <= high
        and tyre.get("load_index", 0) >= limits.get("load_index", 0)
        and ("speed_symbol" not in limits or _fast_enough(tyre, limits["speed_symbol"]))
    )


def _fast_enough(tyre: dict[str, Any], least: str) -> bool:
    return "speed_symbol" in tyre and SYMBOLS.index(tyre["speed_symbol"]) >= SYMBOLS.index(least)


def _is_own(listed: dict[str, Any], own: dict[str, Any]) -> bool:
    """Whether a wheel or tyre of a list is the one that the file plans: then it is not bought."""
    apart = ("name", "price", "rim_in", "load_index", "speed_symbol")
    plain = {key: value for key, value in listed.items() if key not in apart}
    usual = {"spacer_mm": own.get("spacer_mm"), "flange_mm": 12.5} if "offset_mm" in own else {}
    return usual | plain == own


def _price(wheel: dict[str, Any], tyre: dict[str, Any], spacer: dict[str, Any]) -> float | None:
    prices = [one.get("price") for one in (wheel, tyre, spacer)]
    return None if None in prices else float(WHEELS_OF_AN_AXLE * sum(prices))  # type: ignore[arg-type]


def mounted_width_mm(wheel: dict[str, Any], tyre: dict[str, Any]) -> float:
    """Mounted section width, by UN R30 and 0.4 mm for every millimetre of rim."""
    if "section_width_mm" in tyre:
        on_rim = 25.4 * (wheel["width_in"] - tyre["measuring_rim_in"])
        return float(tyre["section_width_mm"] + 0.4 * on_rim)
    size = size_of(tyre["size"])
    share = 0.70 if size.aspect >= 50 else 0.85
    return float(size.width_mm + 0.4 * (25.4 * wheel["width_in"] - share * size.width_mm))


def _asked(
    plain: dict[str, Any], fit: tuple[Any, Any, float], setting: tuple[Any, Any, Any]
) -> dict[str, Any]:
    """The check file of one combination."""
    (wheel, tyre, spacer), (packer, height, (camber, by)) = fit, setting
    asked = copy.deepcopy(plain)
    for corner in asked["corners"].values():
        corner["wheel"] = {k: v for k, v in wheel.items() if k not in ("name", "price")}
        corner["wheel"]["spacer_mm"] = spacer
        apart = ("name", "price", "rim_in", "load_index", "speed_symbol")
        corner["tyre"] = {k: v for k, v in tyre.items() if k not in apart}
        planned = corner["planned"]
        planned["adjusters"] = {
            **(planned.get("adjusters") or {}),
            "bump_stop_mm": packer,
            "ride_height_mm": height,
        }
        planned |= {"camber_deg": camber, "camber_by": by}
    return asked


def _checked(asked: dict[str, Any]) -> tuple[Verdict | None, float]:
    try:
        answer = run(checkfile.parse(asked))
    except (CannotCheck, BadCheckFile):
        return None, -np.inf
    if any(corner.out_of_reach for corner in answer.corners.values()):
        return None, -np.inf
    least = min(p.clearance_mm for one in answer.corners.values() for p in one.places)
    return answer.verdict, least
