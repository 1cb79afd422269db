# ruff: noqa: T201  the table goes to the terminal; the changes are drawn, not secret
"""How long the server works on one change in the try-out.

    python -m tests.benchmarks.bench_page [changes]

A new database in memory, one process, warm; every change is one that was not asked before, as
when one thing after another is changed by hand. Prints a table and fails nothing: the machine
decides the figures.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the shop's server sets it
os.environ["DJANGO_SETTINGS_MODULE"] = "shop.settings"
os.environ["DATABASE_URL"] = "sqlite://:memory:"

import random
import sys
import time
from typing import Any

import django
import numpy as np


def changes(rng: random.Random, base: dict[str, Any], tyres: list[int], count: int) -> Any:
    """So many states, each one change away from the one before."""
    now = dict(base)
    for _ in range(count):
        which = rng.choice(["camber", "spacer", "height", "packer", "tyre", "toe", "use"])
        now[which] = {
            "camber": f"{rng.uniform(-3.0, -1.0):.2f}",
            "spacer": f"{rng.uniform(0.0, 10.0):.1f}",
            "height": f"{rng.uniform(-25.0, 0.0):.1f}",
            "packer": f"{rng.uniform(0.0, 10.0):.1f}",
            "tyre": str(rng.choice(tyres)),
            "toe": f"{rng.uniform(-0.1, 0.2):.2f}",
            "use": rng.choice(["street", "autocross", "track"]),
        }[which]
        yield dict(now)


def main(count: int) -> None:
    django.setup()
    from django.test.utils import setup_databases, setup_test_environment

    setup_test_environment()
    setup_databases(verbosity=0, interactive=False)
    from django.test import Client
    from django.urls import reverse

    from fitment.tryout.services.trial import forget
    from shop.models import User
    from tests.fitment.factories import (
        make_surveyed_car_model,
        make_tyre,
        make_wheel,
        make_wide_tyre,
    )

    client = Client()
    client.force_login(User.objects.create(username="wanda", role="writer"))
    wheel = make_wheel()
    tyres = [make_tyre().pk, make_wide_tyre().pk]
    cases = (
        ("strut, front", "strut", "front", "top_mount"),
        ("strut, rear", "strut", "rear", "lower_arm"),
        ("wishbones, front", "linked", "front", "upper_arm"),
        ("five links, rear", "linked", "rear", "rod:lower front"),
    )
    print(f"{'one change, ms':24}{'median':>10}{'95 %':>10}{'processor 95 %':>18}")
    for words, cars, axle, by in cases:
        car_model = make_surveyed_car_model(cars)
        base = {"car_model": car_model.pk, "axle": axle, "wheel": wheel.pk, "tyre": tyres[0]}
        base |= {"camber": "-2", "by": by, "toe": "0.05", "use": "street"}
        for two in (False, True):
            wall, cpu = [], []
            forget()
            beside = {f"b-{key}": value for key, value in base.items()} if two else {}
            for index, query in enumerate(changes(random.Random(7), base, tyres, count + 3)):
                begin, used = time.perf_counter(), time.process_time()
                page = client.get(reverse("tryout"), query | beside, headers={"HX-Request": "true"})
                if index >= 3 and page.context["first"]:
                    wall.append(time.perf_counter() - begin)
                    cpu.append(time.process_time() - used)
            middle, most = 1000 * np.percentile(wall, [50, 95])
            name = f"{words}{', two' if two else ''}"
            busy = 1000 * np.percentile(cpu, 95)
            print(f"{name:24}{middle:10.0f}{most:10.0f}{busy:18.0f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 40)
