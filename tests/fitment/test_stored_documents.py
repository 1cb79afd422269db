"""Kept documents of checks, searches, surveys and quotes: older shapes, and later releases."""

from __future__ import annotations

import json
import pickle
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.core import serializers
from django.core.exceptions import FieldError
from django.db import IntegrityError, transaction

from alignment.adjustments.text import adjustment_text, adjustments_said
from alignment.geometry.adjustment_problem import Adjustment
from alignment.models import AcceptedAdjustments, RackVisit
from alignment.models.schemas import (
    ACCEPTED_ADJUSTMENTS,
    ACCEPTED_OPTION,
    CONFIRMED_QUESTIONS,
)
from alignment.text.question_messages import confirmed_said
from alignment.text.render import SHOP, catalogue, render
from common.message import message, message_dump, message_load
from common.stored_json import VERSION_KEY, UnreadableDocument, is_kept
from common.verdicts import Outcome
from fitment.clearance.services import check_run
from fitment.drawings.stored import scene_load
from fitment.engine import checkfile
from fitment.engine.drawing.scene_svg import scene_svg
from fitment.engine.mounting.rule import result_load
from fitment.models import ClearanceCheck, CornerSurvey, MountingCheck, OptionSearch
from fitment.models.schemas import (
    ANSWER,
    DRAWINGS,
    FOUND_OPTIONS,
    MOUNTING_RESULTS,
    QUICK_OPTIONS,
    RULED_OUT,
)
from fitment.models.upgrades.messages import RECODED
from fitment.models.upgrades.mounting import RULES_BY_NAME
from fitment.text.lettering import lettered_for
from fitment.text.options import cautions_text, clearance_text, option_text, ruled_out_text
from shop.models import Quote, User
from shop.models.schemas import QUOTE
from shop.models.stored import StoredJSONField
from shop.money.services import quote_document
from tests.alignment.factories import make_visit
from tests.factories import make_user
from tests.fitment.factories import make_ready_order, make_rubbing_order
from tests.fitment.searches import make_search
from tests.stored import column_of, put_in_column

pytestmark = [pytest.mark.database, pytest.mark.django_db]

FIELDS = [
    field
    for model in apps.get_models()
    for field in model._meta.get_fields()
    if isinstance(field, StoredJSONField)
]
#: Fields whose documents still have their first shape; tests of upgrades hold the others.
UNCHANGED = [field for field in FIELDS if field.schema.version == 1]
OLDER = json.loads((Path(__file__).parent / "data/older_documents.json").read_text("utf-8"))


@pytest.fixture(scope="module")
def rows_made(lasting: Any) -> bytes:
    with lasting():
        return pickle.dumps(rows_by(make_user("writer")))


@pytest.fixture
def rows(rows_made: bytes, db: None) -> dict[type, Any]:
    """One row of every model that keeps documents, as it was made."""
    found: dict[type, Any] = pickle.loads(rows_made)
    return found


def rows_by(writer: User) -> dict[type, Any]:
    order = make_rubbing_order()
    check = check_run(order=order, by=writer)
    quote = Quote.objects.create(
        order=order,
        number="Q",
        document=QUOTE.read(OLDER["quote"]),
        total=1,
        currency="EUR",
        sent_by=writer,
    )
    survey = CornerSurvey.objects.first()
    search, mounting = make_search(order, writer), MountingCheck.objects.get()
    visit = make_visit(order, accepted=[[message_dump(message("question.correct"))]])
    said = adjustment_text(Adjustment("toe_link_mm", 0.0, 2.0))
    accepted = AcceptedAdjustments.objects.create(
        order=order,
        visit=visit,
        visit_version=visit.version,
        corner="LF",
        option=message_dump(message("option.toe-link")),
        adjustments=[
            {
                "adjuster": "toe_link_mm",
                "start": 0.0,
                "end": 2.0,
                "what": message_dump(said.what),
                "how": message_dump(said.how),
                "exact": None,
            }
        ],
        positions={"toe_link_mm": 2.0},
        read={"toe": 0.4},
        predicted={"toe": 0.1},
        by=writer,
    )
    rows = (check, quote, survey, search, mounting, visit, accepted)
    return {type(row): row for row in rows}


def test_every_document_that_outlives_a_release_is_known_here() -> None:
    assert {(field.model, field.name) for field in FIELDS} == {
        (ClearanceCheck, "inputs"),
        (ClearanceCheck, "answer"),
        (ClearanceCheck, "stopped"),
        (ClearanceCheck, "scenes"),
        (ClearanceCheck, "options"),
        (OptionSearch, "start"),
        (OptionSearch, "asked"),
        (OptionSearch, "found"),
        (OptionSearch, "ruled_out"),
        (MountingCheck, "inputs"),
        (MountingCheck, "results"),
        (CornerSurvey, "document"),
        (CornerSurvey, "fit"),
        (Quote, "document"),
        (RackVisit, "accepted"),
        (AcceptedAdjustments, "option"),
        (AcceptedAdjustments, "adjustments"),
    }
    names = [field.schema.name for field in FIELDS]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("field", FIELDS, ids=str)
def test_a_document_is_kept_with_its_version_and_read_without(
    field: StoredJSONField, rows: dict[type, Any]
) -> None:
    row = rows[field.model]
    kept, content = column_of(row, field.name), getattr(row, field.name)
    assert is_kept(kept)
    assert (kept["schema"], kept["version"]) == (field.schema.name, field.schema.version)
    row.refresh_from_db()
    assert getattr(row, field.name) == kept["content"] == json.loads(json.dumps(content))


@pytest.mark.parametrize("field", FIELDS, ids=str)
def test_a_document_of_a_later_release_is_refused_by_name(
    field: StoredJSONField, rows: dict[type, Any]
) -> None:
    row, later = rows[field.model], field.schema.version + 1
    kept = {**column_of(row, field.name), "version": later}
    put_in_column(row, field.name, kept)
    with pytest.raises(UnreadableDocument, match=f"This {field.schema.name} is of version {later}"):
        row.refresh_from_db()


@pytest.mark.parametrize("field", UNCHANGED, ids=str)
def test_a_document_from_before_versions_is_read_as_the_first(
    field: StoredJSONField, rows: dict[type, Any]
) -> None:
    row = rows[field.model]
    content = column_of(row, field.name)["content"]
    put_in_column(row, field.name, content)
    row.refresh_from_db()
    assert getattr(row, field.name) == content


@pytest.mark.parametrize("field", FIELDS, ids=str)
def test_a_dump_carries_versions_and_loads_again(
    field: StoredJSONField, rows: dict[type, Any]
) -> None:
    row = rows[field.model]
    (dumped,) = json.loads(serializers.serialize("json", [row]))
    kept = dumped["fields"][field.name]
    assert kept == column_of(row, field.name)
    (loaded,) = serializers.deserialize("json", json.dumps([dumped]))
    assert getattr(loaded.object, field.name) == kept["content"]
    loaded.save()
    assert column_of(row, field.name) == kept


def test_a_query_cannot_look_into_a_document() -> None:
    with pytest.raises(FieldError, match="corners"):
        ClearanceCheck.objects.filter(answer__corners__isnull=False)


# Older shapes, as releases before wrote them


def test_an_answer_from_before_hub_positions_and_gaps() -> None:
    check = check_run(order=make_ready_order(), by=None)
    older = json.loads(json.dumps(check.answer))
    for corner in older["corners"].values():
        del corner["seat"], corner["levers"]
        for place in corner["places"]:
            del place["shift_mm"]
            place["note"] = "The bars of a note are gone."
        corner["uncovered"], corner["notes"] = ["nothing inboard"], ["no compliance stated"]
    put_in_column(check, "answer", older)
    check.refresh_from_db()
    answer = checkfile.answer_load(check.answer)
    for name, corner in answer.corners.items():
        assert (corner.seat, corner.effects) == (None, ())
        assert {place.shift_mm for place in corner.places} == {0.0}
        assert len(corner.places) == len(older["corners"][name]["places"])
        told = (corner.places[0].note, *corner.uncovered, *corner.notes)
        assert [render(one) for one in told] == [
            "The bars of a note are gone.",
            "nothing inboard",
            "no compliance stated",
        ]


def test_an_answer_that_there_was_not_stays_none() -> None:
    assert ANSWER.read({}) == {}


def test_options_of_a_search_with_cautions_in_one_sentence() -> None:
    plain, warned = FOUND_OPTIONS.read(OLDER["found"])
    assert (plain["cautions"], plain["fails"], plain["shown"]) == ([], False, False)
    assert (cautions_text(warned["cautions"]), warned["shown"]) == (["The size is nominal."], True)
    assert option_text(plain) == "No spacer"
    assert clearance_text(plain) == "Clears the arch lip by 6.2 mm."
    assert plain["ranks"] == {}
    assert "caution" not in plain
    assert "caution" not in warned


def test_options_beside_a_check_from_before_there_was_a_search() -> None:
    corner = QUICK_OPTIONS.read(OLDER["options"])["LF"]
    assert [option_text(row) for row in corner["camber_method"]] == ["Camber by the knuckle bolts"]
    (tried,) = corner["found"]
    assert (option_text(tried), clearance_text(tried)) == ("No spacer", "Clears the lip by 6 mm.")
    assert (tried["put"], tried["price"], tried["cautions"]) == ({}, None, [])
    assert corner["ruled_out"] == []
    assert corner["complete"] is False, "not all was looked at, and nothing said so"


def test_a_quote_from_before_findings_and_other_languages() -> None:
    quote = QUOTE.read(OLDER["quote"])
    assert [(check["title"], check["findings"]) for check in quote["checks"]] == [("", [])]
    assert [note["rolled"] for note in quote["notes"]] == [False]
    assert (quote["class_rules_said"], quote["class_findings"]) == ("", [])
    for line, older in zip(quote["lines"], OLDER["quote"]["lines"], strict=True):
        assert line == {"discount": "", "with_tax": False, "amount": older["net"], **older} | {
            "tax_rate": "19"
        }
    assert (quote["discount"], quote["deposits"], quote["before"]) == ("", [], "")
    assert QUOTE.read({**OLDER["quote"], "warning_said": "Achtung."})["warning_said"] == "Achtung."


@pytest.mark.parametrize(
    ("model", "field", "word"),
    [(ClearanceCheck, "verdict", "fine"), (MountingCheck, "outcome", "clear")],
)
def test_a_record_holds_a_word_of_its_enum_and_no_other(
    model: Any, field: str, word: str, rows: dict[type, Any]
) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        model.objects.filter(pk=rows[model].pk).update(**{field: word})


def test_adjustments_accepted_in_words_are_said_as_they_were() -> None:
    older = {
        "adjuster": "toe_link_mm",
        "start": 0.0,
        "end": 2.0,
        "what": "Toe link",
        "how": "1 1/3 turns out",
        "exact": "2.00 mm longer",
    }
    (now, bare) = ACCEPTED_ADJUSTMENTS.read([older, {**older, "exact": ""}])
    assert adjustments_said([now]) == "toe link: 1 1/3 turns out"
    assert (now["adjuster"], now["start"], now["end"]) == ("toe_link_mm", 0.0, 2.0)
    assert render(message_load(now["exact"])) == "2.00 mm longer"
    assert bare["exact"] is None
    assert render(message_load(ACCEPTED_OPTION.read("by top mount inboard"))) == (
        "by top mount inboard"
    )


def test_questions_confirmed_in_words_are_said_as_they_were() -> None:
    older = ["Caster, front left: +20.00° is unusual. Correct?", "Is the date correct?"]
    assert confirmed_said(CONFIRMED_QUESTIONS.read(older)) == older


def test_what_fell_in_a_search_from_before_messages() -> None:
    fell = RULED_OUT.read([["touches", "arch lip", 12], ["dearer than the budget", "", 3]])
    assert ruled_out_text(fell) == ["12 × touches arch lip", "3 × dearer than the budget"]


def test_mounting_results_from_before_messages() -> None:
    older = {
        "title": "Rim width",
        "axle": "front",
        "corner": "",
        "outcome": "cannot say",
        "said": ["Not on record: {what}.", {"what": "the tyre's approved rim widths"}],
        "asks": ["The rim lies in the range that the tyre's maker approves.", {}],
        "source": "the tyre maker's data",
        "missing": ["the tyre's approved rim widths"],
    }
    (read,) = map(result_load, MOUNTING_RESULTS.read([older]))
    assert (read.title, read.axle, read.outcome) == (
        message("rule.rim-width"),
        "front",
        Outcome.CANNOT_SAY,
    )
    assert render(read.found) == "Not on record: the tyre's approved rim widths."
    assert [render(one) for one in read.missing] == older["missing"]


def test_a_quote_from_before_jobs_were_kept_says_that_none_is_known() -> None:
    quote = QUOTE.read(OLDER["quote"])
    assert quote["job"] is None
    assert [check["said"] for check in quote["checks"]] == [
        check["sentence"] for check in quote["checks"]
    ]


def test_mounting_results_from_before_bars_bar_nothing() -> None:
    older = {
        "rule": "seat",
        "axle": "front",
        "corner": "",
        "outcome": "fails",
        "found": {"code": "found.not-on-record", "params": {"missing": []}},
        "asks": {"code": "asks.seat", "params": {}},
        "source": "common practice, no source",
        "missing": [],
    }
    kept = MOUNTING_RESULTS.write([older]) | {VERSION_KEY: 2}
    (read,) = MOUNTING_RESULTS.read(kept)
    assert result_load(read).bars is False


def test_every_mounting_check_of_before_has_its_code() -> None:
    known = {code.removeprefix("rule.") for code, _ in catalogue() if code.startswith("rule.")}
    since = {"end-of-thread", "lock"}
    assert set(RULES_BY_NAME.values()) == known - since
    assert since <= known


def test_drawings_from_before_they_were_lettered_for_their_reader() -> None:
    bar = {"is": "ScaleBar", "at": [0, 0], "length_mm": 50, "words": ""}
    scene = {
        "is": "Scene",
        "title": "Room of the front left wheel",
        "description": "A wheel in its arch.",
        "viewport": [0, 0, 100, 100],
        "parts": [bar],
        "legend": ["Numbers are gaps in mm."],
    }
    kept = {"LF": {"shop": scene, "beside": scene, "customer": scene}, "RF": {"shop": scene}}
    drawings = DRAWINGS.read(kept)
    assert {corner: set(kept) for corner, kept in drawings.items()} == {
        "LF": {"alone", "beside"},
        "RF": {"alone"},
    }
    lettered = lettered_for(scene_load(drawings["LF"]["alone"]), SHOP)
    assert lettered.description == ("A wheel in its arch.",)
    assert "50 mm" in scene_svg(lettered, id_prefix="x")


def test_codes_that_got_other_names_are_read_as_todays() -> None:
    pose = {"code": "pose.loaded", "params": {"pose": {"code": "pose.height"}}}
    row = {"tightest_told": {"code": "option.tightest", "params": {"pose": pose}}, "ranks": {}}
    kept = {"schema": FOUND_OPTIONS.name, "version": FOUND_OPTIONS.version - 1, "content": [row]}
    (read,) = FOUND_OPTIONS.read(kept)
    assert render(message_load(read["tightest_told"]["params"]["pose"])) == (
        "at ride height, in a hard corner"
    )


def test_a_drawing_of_before_loses_the_gap_of_a_spot_that_was_not_measured() -> None:
    gap = {"code": "drawing.gap-unmeasured", "params": {"gap_mm": -23.0}}
    scene = {"is": "Scene", "legend": [gap, {"code": "legend.loaded"}]}
    kept = {"schema": DRAWINGS.name, "version": 2, "content": {"LF": {"alone": scene}}}
    legend = DRAWINGS.read(kept)["LF"]["alone"]["legend"]
    assert [render(message_load(one)) for one in legend] == [
        "unmeasured",
        "With cornering load on the outside wheel.",
    ]


def test_every_code_of_a_kept_message_has_its_sentence() -> None:
    codes = {code for code, _ in catalogue()}
    assert set(RECODED.values()) <= codes
    assert not set(RECODED) & codes


def test_what_is_written_today_has_every_key_that_an_older_quote_is_given() -> None:
    order = make_ready_order()
    today = quote_document(order, "EUR")
    assert set(today) == set(QUOTE.read(OLDER["quote"]))
