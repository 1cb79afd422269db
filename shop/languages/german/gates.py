"""What stands before parts and booking while there is no room check to go by."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "The room cannot be checked yet. {why}": ("Der Freigang kann noch nicht geprüft werden. {why}"),
    "Nobody has measured a car of this kind: the vehicle belongs to no pattern, so nothing can be "
    "said about its room.": (
        "Ein Fahrzeug dieser Art hat noch niemand vermessen, deshalb lässt sich über seinen "
        "Freigang nichts sagen."
    ),
    "The room check is out of date: wheels, tyres, settings, parts, survey, duty or the way of "
    "computing changed since.": (
        "Die Prüfung des Freigangs ist überholt: Räder, Reifen, Einstellungen, Teile, Vermessung, "
        "Nutzung oder das Rechenverfahren haben sich seither geändert."
    ),
    "The room has not been checked.": "Der Freigang ist noch nicht geprüft.",
    "This job needs no room check.": "Diese Arbeit braucht keine Prüfung des Freigangs.",
    "Neither wheels nor settings are chosen for this order.": (
        "Für diesen Auftrag sind weder Räder noch Einstellungen gewählt."
    ),
    "The {axle} axle has wheels but no planned settings.": (
        "Für die Achse {axle} sind Räder gewählt, aber keine Einstellungen geplant."
    ),
    "The {axle} axle has planned settings but no wheels: choose the ones that will be on the car, "
    "even if they stay.": (
        "Für die Achse {axle} sind Einstellungen geplant, aber keine Räder gewählt; auch Räder, "
        "die bleiben, gehören dazu."
    ),
    "No duty is set up for {use} use.": "Für die Nutzung {use} ist nichts festgelegt.",
    "Camber by {camber_method} is planned for the {axle} axle, which is a {kind} corner "
    "and offers: "
    "{offered}.": (
        "Für die Achse {axle} ist der Sturz so geplant: {camber_method}. Ihre Bauart ({kind}) "
        "bietet: "
        "{offered}."
    ),
    "no means of camber": "keine Möglichkeit für Sturz",
    "The {axle} axle plans “{adjuster}”, which a {kind} corner does not have.": (
        "Für die Achse {axle} ist „{adjuster}“ geplant; das gibt es bei {kind} nicht."
    ),
    "The part “{part}” sets “{adjuster}”, which the {axle} axle, a {kind} corner, does not have.": (
        "Das Teil „{part}“ verstellt „{adjuster}“; das hat die Achse {axle} nicht: {kind}."
    ),
    "Something that was entered has to be corrected first.": (
        "Zuerst muss eine Angabe berichtigt werden."
    ),
    "Something that was entered for the wheel {corner} has to be corrected first.": (
        "Zuerst muss eine Angabe zum Rad {corner} berichtigt werden."
    ),
    "The mounting checks are out of date: wheel, tyre, nuts, the car's papers, the room check or "
    "the law changed since.": (
        "Die Montageprüfungen sind überholt: Rad, Reifen, Muttern, Fahrzeugpapiere, die Prüfung "
        "des Freigangs oder die Vorschriften haben sich seither geändert."
    ),
    "The mounting has not been checked.": "Die Montage ist noch nicht geprüft.",
    "the top mount": "Domlager",
    "the lower arm": "unterer Lenker",
    "the upper arm": "oberer Lenker",
    "the knuckle bolts": "Schrauben des Radträgers",
    "strut": "Federbein",
    "double-wishbone": "Doppelquerlenker",
    "five-link": "Fünflenker",
    "measured-curves": "gemessene Kurven",
    "rod lengths": "Stangenlängen",
}
