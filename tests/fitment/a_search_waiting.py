"""Rows for a site of its own: ``python -m tests.fitment.a_search_waiting`` prints their numbers.

An order that rubs, a search of it that waits for a worker, and the same search done at once.
"""

from __future__ import annotations

import json
import os
import sys


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    import django

    django.setup()
    from tests.factories import make_user
    from tests.fitment.factories import make_rubbing_order, make_tyre
    from tests.fitment.searches import done_search, make_search

    order, writer = make_rubbing_order(), make_user("writer")
    make_tyre(price="180.00")
    asked = {"may": ["camber_method", "packer", "spacer", "tyre"]}
    done = done_search(order, writer, **asked)
    waiting = make_search(order, writer, **asked)
    sys.stdout.write(json.dumps({"done": done.pk, "waiting": waiting.pk, "task": waiting.task_id}))


if __name__ == "__main__":
    main()
