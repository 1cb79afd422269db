"""What the report of the command line says where the rim is what is near."""

from __future__ import annotations

from alignment.text.render import render
from fitment.engine.check import run
from fitment.text.report import answer_text
from tests.engine.test_rims import beside_a_flange, rim_notes


def test_the_report_says_where_a_narrower_tyre_gains_nothing() -> None:
    check = beside_a_flange("195/55R16", 9.0, 212.0, -20.0 - 114.3 - 12.5 - 2.0)
    (note,) = rim_notes(check)
    assert render(note) in answer_text(run(check))
