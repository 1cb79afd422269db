"""Surveys as check files: out with all that belongs to them, and in again.

Beside the corner as a check file has it, a ``record`` says who measured it and when, and holds the
readings as they were taken, and what fitted joints were before. The engine leaves it alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext_lazy

from common.corners import CORNER_NAMES
from common.numerals import fixed
from common.shortened import shortened
from fitment.engine import checkfile
from fitment.engine.checkfile.reader import json_document
from fitment.engine.survey.reading_forms import FORMS
from fitment.engine.survey.reading_values import FARTHEST, LONGEST
from fitment.engine.survey.readings import POSES
from fitment.models import CornerSurvey, SurveyReading, SurveySession
from fitment.surveys.reasons import LONGEST_WHY
from fitment.surveys.services import survey_save
from shop.languages import speech_of_shop

if TYPE_CHECKING:
    from shop.models import CarModel, User

Document = dict[str, Any]
#: What a survey keeps of a check file's corner.
SURVEY_KEYS = ("survey", "suspension", "limits", "compliance")
#: Readings that one corner's record may hold: far more than a survey takes.
MOST_READINGS = 500


def survey_export(surveys: Iterable[CornerSurvey]) -> Document:
    """A check file of corners of one car model that leaves wheel, tyre and plan open."""
    surveys = list(surveys)
    corners = {}
    for survey in surveys:
        corner = {key: survey.document[key] for key in SURVEY_KEYS if survey.document.get(key)}
        corners[survey.corner] = corner | {"record": record_of(survey)}
    label = str(surveys[0]) if len(surveys) == 1 else str(surveys[0].car_model)
    return {"archroom_check": 1, "label": label, "corners": corners}


def record_of(survey: CornerSurvey) -> Document:
    """Who, when, from what: everything of a survey that is not geometry."""
    record: Document = {
        "version": survey.version,
        "measured_on": survey.measured_on.isoformat(),
        "measured_by": survey.measured_by,
    }
    if survey.notes:
        record["notes"] = survey.notes
    if survey.fit:
        record["fit"] = survey.fit
    rows = SurveyReading.objects.filter(session__survey=survey).select_related("by", "struck_by")
    if rows:
        record["readings"] = [_reading_out(row) for row in rows]
    return record


def _reading_out(row: SurveyReading) -> Document:
    reading: Document = {
        "form": row.form,
        "values": row.values,
        "by": row.read_by or row.by.shown_name,
        "at": row.at.isoformat(),
    }
    if row.place:
        reading["place"] = row.place
    if FORMS[row.form].in_pose:
        reading["pose"] = row.pose
    if row.expected_mm is not None:
        reading["expected_mm"] = row.expected_mm
    if row.struck_at is not None:
        reading["struck_at"] = row.struck_at.isoformat()
        if row.struck_why:
            by = f", {row.struck_by.shown_name}" if row.struck_by else ""
            reading["struck_why"] = f"{shortened(row.struck_why, LONGEST_WHY - len(by))}{by}"
    return reading


class FileCorner:
    """One corner's survey in a file, read and judged, with its record if it has one.

    Raises checkfile.BadCheckFile with every problem, paths as in the file.
    """

    def __init__(self, name: str, part: Document) -> None:
        self.document = {key: part[key] for key in SURVEY_KEYS if part.get(key) is not None}
        problems: list[checkfile.Problem] = []
        try:
            checkfile.parse_corner_survey(self.document)
        except checkfile.BadCheckFile as bad:
            problems += bad.problems
        self.record = _Record(part.get("record"), problems)
        if problems:
            raise checkfile.BadCheckFile(
                checkfile.Problem(f"corners.{name}.{one.path}".rstrip("."), one.message)
                for one in problems
            )


class _Record:
    """A record as the file has it; anything wrong with it goes to ``problems``."""

    def __init__(self, value: object, problems: list[checkfile.Problem]) -> None:
        self._problems = problems
        if value is not None and not isinstance(value, dict):
            self._wrong("", "should be an object with named values")
        table: Document = value if isinstance(value, dict) else {}
        self.measured_by = self._text(table, "measured_by", 80)
        self.notes = self._text(table, "notes", 4000)
        day = self._text(table, "measured_on", 20)
        self.measured_on = self._date(day) if day else None
        self.fit = self._fit(table.get("fit"))
        self.readings = self._readings(table.get("readings"))

    def _wrong(self, path: str, message: str) -> None:
        self._problems.append(checkfile.Problem(f"record.{path}".rstrip("."), message))

    def _text(self, table: Mapping[str, Any], key: str, longest: int, where: str = "") -> str:
        text = table.get(key, "")
        if not isinstance(text, str) or len(text) > longest:
            self._wrong(f"{where}{key}", f"should be a text of at most {longest} characters")
            return ""
        return text

    def _date(self, text: str) -> date | None:
        try:
            return date.fromisoformat(text)
        except ValueError:
            self._wrong("measured_on", f"“{text}” is no date, like 2026-03-02")
            return None

    def _moment(self, text: str, where: str) -> datetime | None:
        try:
            moment = datetime.fromisoformat(text)
        except ValueError:
            self._wrong(where, f"“{text}” is no moment, like 2026-03-02T09:15:00+01:00")
            return None
        return moment if timezone.is_aware(moment) else timezone.make_aware(moment)

    def _fit(self, value: object) -> Document:
        if value is None:
            return {}
        wanted = ("suspension", "readings", "moved_mm", "before_deg", "after_deg")
        if not isinstance(value, dict) or any(key not in value for key in wanted):
            self._wrong("fit", f"should hold {', '.join(wanted)}")
            return {}
        return value

    def _readings(self, value: object) -> list[SurveyReading]:
        if value is None:
            return []
        if not isinstance(value, list) or len(value) > MOST_READINGS:
            self._wrong("readings", f"should be a list of at most {MOST_READINGS} readings")
            return []
        rows = (self._reading(row, f"readings[{index}]") for index, row in enumerate(value))
        return [row for row in rows if row is not None]

    def _reading(self, value: object, where: str) -> SurveyReading | None:
        if not isinstance(value, dict):
            self._wrong(where, "should be an object with named values")
            return None
        form, pose = value.get("form"), value.get("pose", "standing")
        if not isinstance(form, str) or form not in FORMS:
            self._wrong(f"{where}.form", "is not a form of reading that is known here")
            return None
        if pose not in POSES:
            self._wrong(f"{where}.pose", "is not a pose that is known here")
            return None
        expected = value.get("expected_mm")
        if expected is not None and (form != "gap" or not _is_number(expected)):
            self._wrong(f"{where}.expected_mm", "should be a number, and belongs to a gap")
            return None
        struck = self._text(value, "struck_at", 40, f"{where}.")
        at = self._text(value, "at", 40, f"{where}.")
        return SurveyReading(
            form=form,
            pose=pose,
            place=self._text(value, "place", 80, f"{where}."),
            values=self._values(form, value.get("values"), f"{where}.values"),
            expected_mm=expected,
            read_by=self._text(value, "by", 80, f"{where}."),
            at=(self._moment(at, f"{where}.at") if at else None) or timezone.now(),
            struck_why=self._text(value, "struck_why", LONGEST_WHY, f"{where}."),
            struck_at=self._moment(struck, f"{where}.struck_at") if struck else None,
        )

    def _values(self, form: str, value: object, where: str) -> Document:
        figures = {figure.name: figure for figure in FORMS[form].figures}
        if not isinstance(value, dict):
            self._wrong(where, "should be an object with named values")
            return {}
        for name, kept in value.items():
            if name not in figures:
                self._wrong(f"{where}.{name}", f"is no figure of “{FORMS[form].words}”")
                continue
            words = figures[name].text or bool(figures[name].choices)
            meant = kept.get("value") if isinstance(kept, dict) else None
            typed = kept.get("typed") if isinstance(kept, dict) else None
            known = isinstance(meant, str) if words else _is_number(meant)
            if not known or not isinstance(typed, str) or len(typed) > LONGEST:
                told = "a text" if words else f"a number of at most {fixed(FARTHEST, 0)}"
                self._wrong(f"{where}.{name}", f"should have typed and value, the value {told}")
        return value


def _is_number(value: object) -> bool:
    """A number as the forms of readings take them."""
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= FARTHEST


def corners_of_file(
    text: str | bytes, corner: str, *, whole: bool = False
) -> dict[str, FileCorner]:
    """Surveys of a check file, whole or without wheel, tyre and plan, by the corner they go to.

    ``whole`` takes all corners as they are named; else the one that is asked for or, if the file
    has just one, that one. Raises checkfile.BadCheckFile with every problem, paths as in the file.
    """
    file = json_document(text)
    parts = _corners(file) if whole else {corner: _corner_of(file, corner)}
    problems: list[checkfile.Problem] = []
    found: dict[str, FileCorner] = {}
    for target, (name, part) in parts.items():
        try:
            found[target] = FileCorner(name, part)
        except checkfile.BadCheckFile as bad:
            problems += bad.problems
    if problems:
        raise checkfile.BadCheckFile(problems)
    return found


@transaction.atomic
def surveys_import(
    *,
    car_model: CarModel,
    corners: Mapping[str, FileCorner],
    file_name: str,
    measured_on: date | None,
    measured_by: str,
    by: User,
) -> list[CornerSurvey]:
    """Keep corners of a file as new versions, with their readings; what was typed goes first."""
    saved = []
    for corner, taken in corners.items():
        record = taken.record
        note = speech_of_shop().say("From the file {name}.", name=file_name)
        survey = survey_save(
            car_model=car_model,
            corner=corner,
            document=taken.document,
            measured_on=measured_on or record.measured_on or timezone.localdate(),
            measured_by=measured_by or record.measured_by or by.shown_name,
            notes=f"{record.notes} {note}".strip() if note not in record.notes else record.notes,
            fit=record.fit,
            by=by,
            what=gettext_lazy("Taken from a check file"),
        )
        _keep_readings(survey, record.readings, by)
        saved.append(survey)
    return saved


def _keep_readings(survey: CornerSurvey, rows: list[SurveyReading], by: User) -> None:
    if not rows:
        return
    session = SurveySession.objects.create(
        car_model=survey.car_model,
        corner=survey.corner,
        started_by=by,
        finished_at=timezone.now(),
        survey=survey,
    )
    for row in rows:
        row.session, row.by = session, by
    SurveyReading.objects.bulk_create(rows)


def _refuse(path: str, message: str) -> checkfile.BadCheckFile:
    return checkfile.BadCheckFile([checkfile.Problem(path, message)])


def _corners(file: object) -> dict[str, tuple[str, Document]]:
    """All corners of a file by name. Raises checkfile.BadCheckFile."""
    if not isinstance(file, dict) or file.get("archroom_check") != 1:
        raise _refuse("archroom_check", "is not 1, so this is not a check file that can be read")
    corners = file.get("corners")
    if not isinstance(corners, dict) or not corners:
        raise _refuse("corners", "is missing or empty")
    for name, part in corners.items():
        if name not in CORNER_NAMES:
            raise _refuse(f"corners.{name}", f"is none of {', '.join(CORNER_NAMES)}")
        if not isinstance(part, dict):
            raise _refuse(f"corners.{name}", "should be an object with named values")
    return {name: (name, part) for name, part in corners.items()}


def _corner_of(file: object, wanted: str) -> tuple[str, Document]:
    corners = _corners(file)
    if wanted in corners:
        return corners[wanted]
    if len(corners) == 1:
        return next(iter(corners.values()))
    raise _refuse("corners", f"has no {wanted}, the {CORNER_NAMES[wanted]} corner")
