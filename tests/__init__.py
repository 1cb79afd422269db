"""The tests, and the budget that they keep: ``make test`` in five minutes on two quiet cores.

* Tests run in workers (``JOBS=0`` for none), each with a database, uploads and a Chromium of its
  own. No test relies on another that ran before it; rows that migrations put in come back after a
  transactional test.
* A long proof has a share by day and the rest at night: ``day_and_night`` of ``tests/nights.py``.
  The share shows every kind of thing that the whole shows (``tests/engine/traits.py``).
* What many tests only read is made once: the demo for ``tests/demo/``, rows of a module by the
  fixture ``lasting``. Each test still finds them as they were made.
* A budget is a count, or a share of other work measured in the same test (``tests/budget.py``):
  never seconds.
* What a database changes is marked ``database`` (transactions, races, constraints, queries, whole
  journeys) and runs on PostgreSQL by day too; everything else does at night.
* Libraries that load slowly (scipy's parts, pypdf, trimesh, Playwright) are loaded by the tests
  that use them.
"""
