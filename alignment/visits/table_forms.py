"""Forms for reading tables: the file with its import layout, and the layout itself."""

from __future__ import annotations

from typing import Any, cast

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from alignment.fields.plausibility import Question, questions_about
from alignment.fields.unit_fields import TypedForm
from alignment.geometry import units
from alignment.models import Quantity, Stage
from alignment.models.import_layouts import ImportLayout
from alignment.visits.condition_forms import ACCURACY_RANGE
from alignment.visits.questions import questions_about_visit
from alignment.visits.tables import columns
from alignment.visits.tables.columns import Column
from alignment.visits.tables.reading import Found, header_of
from common.csv_text import BadTable, rows_of, text_of
from common.numerals import whole
from shop.models import Corner, WorkOrder
from shop.site.fields import CommaFloatField
from shop.site.joining import JoinedModelForm

WHAT_CHOICES = [("", gettext_lazy("Not needed")), *Quantity.choices, *columns.OTHERS]
CORNER_CHOICES = [("", "–"), *Corner.choices, (columns.OF_ROW, gettext_lazy("Given in the row"))]
UNIT_CHOICES = [("", "–"), *columns.UNIT_WORDS.items()]
SIGN_CHOICES = [("", gettext_lazy("as in Archroom")), ("turned", gettext_lazy("opposite"))]
SPARE_COLUMNS, MOST_COLUMNS = 4, 60


class TableFileForm(forms.Form):
    """A file or pasted text, with the layout by which it is read."""

    table = forms.FileField(label=gettext_lazy("File"), required=False)
    text = forms.CharField(
        label=gettext_lazy("Or the table as text"),
        required=False,
        widget=forms.Textarea({"rows": 4, "spellcheck": "false"}),
    )
    import_layout = forms.ModelChoiceField(
        ImportLayout.objects.all(),
        label=gettext_lazy("Import layout"),
        # Any: the stubs have no lazy text here.
        empty_label=cast(Any, gettext_lazy("Choose a layout")),
    )
    stage = forms.ChoiceField(
        label=gettext_lazy("Stage"),
        choices=Stage.choices,
        help_text=gettext_lazy("Used where no column holds it."),
    )
    rack_name = forms.CharField(label=gettext_lazy("Rack"), max_length=80, required=False)
    accuracy = forms.CharField(
        label=gettext_lazy("Rack accuracy, ± °"), max_length=20, required=False
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        cleaned["text"] = _text_sent(self, cleaned)
        cleaned["accuracy_deg"] = self._accuracy(cleaned.get("accuracy", ""))
        return cleaned

    def _accuracy(self, typed: str) -> float | None:
        if not typed.strip():
            return None
        try:
            accuracy = units.parse_angle(typed).value
        except units.NotUnderstood as refusal:
            self.add_error("accuracy", str(refusal))
            return None
        if not 0 <= accuracy <= 5:
            self.add_error("accuracy", ACCURACY_RANGE)
        return accuracy


class PreviewForm(TypedForm):
    """What was found in a table, with a tick for each unusual value; nothing is saved before."""

    def __init__(self, *args: Any, found: Found, order: WorkOrder, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.found, self.order = found, order

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for bad in self.found.bad:
            self.add_error(None, str(bad))
        self.ask((None, question) for question in self._questions())
        return cleaned

    def _questions(self) -> list[Question]:
        asked: list[Question] = []
        for visit in self.found.visits:
            asked += questions_about(visit.readings)
            asked += questions_about_visit(
                order=self.order,
                visit=None,
                stage=visit.stage,
                at=visit.at,
                mileage_km=visit.mileage_km,
                read={key: number.value for key, number in visit.readings.items()},
            )
        return asked


class ImportLayoutForm(JoinedModelForm[ImportLayout]):
    """A layout with a line for each column; a sample of the table names them."""

    toe_diameter_mm = CommaFloatField(
        label=gettext_lazy("Diameter where toe is measured, mm"),
        required=False,
        help_text=gettext_lazy("Only for toe in millimetres or inches."),
    )
    sample = forms.CharField(
        label=gettext_lazy("The first rows of such a table"),
        required=False,
        widget=forms.Textarea({"rows": 4, "spellcheck": "false"}),
        help_text=gettext_lazy("Pasted here, they name the columns."),
    )
    table = forms.FileField(label=gettext_lazy("Or a whole file"), required=False)

    class Meta:
        model = ImportLayout
        fields = ("name", "delimiter", "decimal_mark", "header_row", "toe_diameter_mm")
        labels = {
            "name": gettext_lazy("Name"),
            "delimiter": gettext_lazy("Separator"),
            "decimal_mark": gettext_lazy("Decimal mark"),
            "header_row": gettext_lazy("Row with the columns' names"),
        }
        help_texts = {
            "header_row": gettext_lazy("0 where the table has none: columns are named by number.")
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["header_row"].required = False
        self.sample_error: tuple[str, str] | None = None
        kept = columns.columns_of(self.instance.columns)
        if self.is_bound:
            kept = self._from_sample() if "read_sample" in self.data else self._sent()
        self._add_columns(kept)

    fieldsets = (
        (
            gettext_lazy("Layout"),
            ("name", "delimiter", "decimal_mark", "header_row", "toe_diameter_mm"),
        ),
        (gettext_lazy("Sample"), ("sample", "table")),
    )

    def _add_columns(self, kept: list[Column]) -> None:
        self.shown = len(kept) + (0 if len(kept) >= MOST_COLUMNS else SPARE_COLUMNS)
        on_record = columns.columns_of(self.instance.columns)
        for index in range(self.shown):
            column = on_record[index] if index < len(on_record) else Column("", "")
            where = _("column {number}").format(number=index + 1)
            for name, label, choices, initial in (
                ("name", _("Name"), None, column.name),
                ("what", _("Holds"), WHAT_CHOICES, column.what),
                ("corner", _("Corner"), CORNER_CHOICES, column.corner),
                ("unit", _("Unit"), UNIT_CHOICES, column.unit),
                ("sign", _("Signs"), SIGN_CHOICES, "turned" if column.turned else ""),
            ):
                made = (
                    forms.CharField(max_length=80)
                    if choices is None
                    else forms.ChoiceField(choices=choices)
                )
                made.required, made.label, made.initial = False, f"{label}, {where}", initial
                self.fields[f"col_{index}_{name}"] = made

    def _sent(self) -> list[Column]:
        """As many lines as the page had."""
        count = 0
        while count < MOST_COLUMNS and f"col_{count}_name" in self.data:
            count += 1
        return [
            Column(
                str(self.data[f"col_{i}_name"]),
                str(self.data.get(f"col_{i}_what", "")),
                str(self.data.get(f"col_{i}_corner", "")),
                str(self.data.get(f"col_{i}_unit", "")),
                self.data.get(f"col_{i}_sign") == "turned",
            )
            for i in range(count)
        ]

    def _from_sample(self) -> list[Column]:
        """Columns named by the sample, with what their names make likely."""
        row = str(self.data.get("header_row") or 0)
        upload = self.files.get("table")
        try:
            text = self.data.get("sample", "") if upload is None else text_of(upload.read())
            rows = rows_of(text, str(self.data.get("delimiter") or ";"))
        except BadTable as bad:
            self.sample_error = ("sample" if upload is None else "table", str(bad))
            return self._sent()
        number = whole(row)
        header = header_of(rows, 1 if number is None else number) or []
        # Any: the stubs give a form's data no copy().
        data: Any = self.data.copy()  # type: ignore[attr-defined]
        for key in [key for key in data if key.startswith("col_")]:
            del data[key]
        if len(header) > MOST_COLUMNS:
            told = _("The table has {count} columns; a layout takes {most} at most.")
            said = told.format(count=len(header), most=MOST_COLUMNS)
            self.sample_error = ("sample" if upload is None else "table", said)
            return self._sent()
        guessed = [columns.guess(name) for name in header]
        for index, column in enumerate(guessed):
            data[f"col_{index}_name"] = column.name
            data[f"col_{index}_what"] = column.what
            data[f"col_{index}_corner"] = column.corner
            data[f"col_{index}_unit"] = column.unit
        self.data = data
        return guessed

    @property
    def plain_fieldsets(self) -> list[tuple[str, list[Any]]]:
        return [(str(legend), [self[name] for name in names]) for legend, names in self.fieldsets]

    @property
    def rows(self) -> list[list[Any]]:
        names = ("name", "what", "corner", "unit", "sign")
        return [[self[f"col_{i}_{name}"] for name in names] for i in range(self.shown)]

    def clean_header_row(self) -> int:
        return self.cleaned_data.get("header_row") or 0

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if self.sample_error is not None:
            self.add_error(*self.sample_error)
        self.columns = []
        held: list[tuple[str, str]] = []
        rows = [row for row in self._columns_cleaned(cleaned) if row[1].what]
        has_corner = any(column.what == columns.CORNER for _, column in rows)
        for index, column in rows:
            if not column.name:
                self.add_error(f"col_{index}_name", _("Enter the column's name in the table."))
            if problem := columns.column_problem(column, has_corner):
                self.add_error(f"col_{index}_what", problem)
            holds = (column.what, column.corner if column.is_reading else "")
            if holds in held:
                self.add_error(f"col_{index}_what", _("Another column holds this already."))
            held.append(holds)
            self.columns.append(column)
        if not any(column.is_reading for column in self.columns) and not self.errors:
            self.add_error(None, _("No column holds a reading yet."))
        self._needs_diameter(cleaned)
        return cleaned

    def _columns_cleaned(self, cleaned: dict[str, Any]) -> list[tuple[int, Column]]:
        return [
            (
                i,
                Column(
                    (cleaned.get(f"col_{i}_name") or "").strip(),
                    cleaned.get(f"col_{i}_what") or "",
                    cleaned.get(f"col_{i}_corner") or "",
                    cleaned.get(f"col_{i}_unit") or "",
                    cleaned.get(f"col_{i}_sign") == "turned",
                ),
            )
            for i in range(self.shown)
        ]

    def _needs_diameter(self, cleaned: dict[str, Any]) -> None:
        diameter = cleaned.get("toe_diameter_mm")
        if diameter is not None and diameter <= 0:
            self.add_error("toe_diameter_mm", _("Must be greater than zero."))
        lengths = (units.MILLIMETRES, units.INCHES)
        toes = (Quantity.TOE, Quantity.TOE_TOTAL)
        if not diameter and any(c.what in toes and c.unit in lengths for c in self.columns):
            self.add_error("toe_diameter_mm", _("Needed for toe as a length."))


def _text_sent(form: forms.Form, cleaned: dict[str, Any]) -> str:
    upload = cleaned.get("table")
    text: str = cleaned.get("text") or ""
    if upload is None and not text.strip():
        form.add_error("table", _("Choose a file or paste the table."))
        return ""
    try:
        return text_of(text.encode() if upload is None else upload.read())
    except BadTable as bad:
        form.add_error("text" if upload is None else "table", str(bad))
        return ""
