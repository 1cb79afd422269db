"""Texts that have to fit."""

from __future__ import annotations

from common.shortened import shortened


def test_what_is_cut_is_seen_to_be() -> None:
    assert shortened("as it is", 8) == "as it is"
    assert shortened("as it is.", 8) == "as it i…"
