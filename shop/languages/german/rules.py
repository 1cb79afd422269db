"""Class rules: findings, and the kinds of part that they name."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "Class rules": "Klassenreglement",
    "Rule": "Regel",
    "Finding": "Befund",
    "Why": "Warum",
    "passes": "erfüllt",
    "fails": "nicht erfüllt",
    "cannot say": "nicht zu beurteilen",
    "Judged by {record} ({source}, as of {day}): this job fails {failing} of {all} rules; {unsure} "
    "cannot be judged.": (
        "Beurteilt nach {record} ({source}, Stand {day}). Verletzt: {failing} von {all} Regeln; "
        "nicht zu beurteilen: {unsure}."
    ),
    "Judged by {record} ({source}, as of {day}): no rule fails, but {unsure} of {all} cannot be "
    "judged.": (
        "Beurteilt nach {record} ({source}, Stand {day}): keine Regel ist verletzt; nicht zu "
        "beurteilen: {unsure} von {all}."
    ),
    "Judged by {record} ({source}, as of {day}): this job passes every rule, {all} in all.": (
        "Beurteilt nach {record} ({source}, Stand {day}): jede Regel ist erfüllt, zusammen {all}."
    ),
    "Nothing is planned that it could be held against.": (
        "Es ist nichts geplant, woran sie gemessen werden könnte."
    ),
    "{planned}; the limit is {limit}.": "{planned}; die Grenze ist {limit}.",
    "planned {figure}": "geplant {figure}",
    "lowered by {figure}": "tiefer um {figure}",
    "read {figure}": "gemessen {figure}",
    "chosen {figure}": "gewählt {figure}",
    "No camber is planned: it comes out as the adjusters give it.": (
        "Es ist kein Sturz geplant: Er ergibt sich aus den Verstellern."
    ),
    "No settings are planned yet.": "Es ist noch keine Einstellung geplant.",
    "The plan uses it. {axle}: {name}.": "Der Plan nutzt ihn. {axle}: {name}.",
    "The plan does not use it.": "Der Plan nutzt ihn nicht.",
    "The height after the work has not been read yet.": (
        "Die Höhe nach der Arbeit ist noch nicht gemessen."
    ),
    "On the order: {names}.": "Im Auftrag: {names}.",
    "Not a part of the list, so its kind is not known: {names}.": (
        "Kein Teil aus der Liste, die Art ist also nicht bekannt: {names}."
    ),
    "No such part is on the order: {kind}.": "Kein solches Teil im Auftrag: {kind}.",
    "No part on the order sets it.": "Kein Teil im Auftrag verstellt das.",
    "No wheels are chosen yet.": "Es sind noch keine Räder gewählt.",
    "The tyre's size does not tell its width.": "Die Größe des Reifens nennt keine Breite.",
    "{axle}: a spacer of {figure}.": "{axle}: eine Distanzscheibe von {figure}.",
    # Kinds of part
    "Camber top mount": "Sturzdomlager",
    "Shim or eccentric": "Beilage oder Exzenter",
    "Arm": "Lenker",
    "Coilover": "Gewindefahrwerk",
    "Damper": "Dämpfer",
    "Spring or packer": "Feder oder Begrenzer",
    "Wheel spacer": "Distanzscheibe",
    "Brake": "Bremse",
    "Other": "Anderes",
}
