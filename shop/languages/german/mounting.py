"""Mounting checks: their names, rules and sources, what was found, and what is missing."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    # All together
    "{count} of {all} mounting checks fail.": "{count} von {all} Montageprüfungen fallen durch.",
    "{count} of {all} mounting checks fails.": "{count} von {all} Montageprüfungen fällt durch.",
    "Not to be answered yet: {names}.": "Noch nicht zu beantworten: {names}.",
    "No mounting check fails, but {count} of {all} cannot be answered yet: {names}.": (
        "Keine Montageprüfung fällt durch; noch nicht zu beantworten, {count} von {all}: {names}."
    ),
    "All mounting checks pass, {all} in all.": (
        "Alle Montageprüfungen sind bestanden, zusammen {all}."
    ),
    "both axles": "beide Achsen",
    # Names
    "Bolt circle and count": "Lochkreis und Lochzahl",
    "Centre bore and ring": "Mittenloch und Ring",
    "Seat of the nuts or bolts": "Sitz der Muttern oder Schrauben",
    "Thread": "Gewinde",
    "Thread engaged": "Tragendes Gewinde",
    "Rim width": "Felgenbreite",
    "Load index": "Tragfähigkeitskennzahl",
    "Speed symbol": "Geschwindigkeitssymbol",
    "Load at top speed": "Last bei Höchstgeschwindigkeit",
    "Wheel load rating": "Traglast des Rades",
    "Overall diameter": "Außendurchmesser",
    "Overall diameter, in millimetres": "Außendurchmesser, in Millimetern",
    "Offset": "Einpresstiefe",
    "Track width": "Spurweite",
    "Spacers": "Distanzscheiben",
    "Nuts on their full thread": "Muttern auf ganzem Gewinde",
    "Front to rear diameter": "Durchmesser vorn zu hinten",
    "Brake and spokes": "Bremse und Speichen",
    "Cover of the wheel": "Radabdeckung",
    "Rear edge of the cover": "Hintere Kante der Abdeckung",
    "Gap to the suspension": "Abstand zum Fahrwerk",
    "Gap to the body": "Abstand zur Karosserie",
    "Gap from lock to lock": "Abstand von Anschlag zu Anschlag",
    "Chains over the tread": "Ketten über der Lauffläche",
    "Chains beside the tyre": "Ketten neben dem Reifen",
    "Travel left": "Verbleibender Federweg",
    # Rules
    "Wheel and hub have as many bolts on the same circle.": (
        "Rad und Nabe haben gleich viele Schrauben auf demselben Kreis."
    ),
    "The wheel is centred on the hub, itself or by a ring, with no more than {play} mm of play.": (
        "Das Rad ist auf der Nabe zentriert, selbst oder mit einem Ring, mit höchstens {play} mm "
        "Spiel."
    ),
    "Nuts or bolts have the seat that the wheel was made for.": (
        "Muttern oder Schrauben haben den Sitz, für den das Rad gemacht ist."
    ),
    "Nuts or bolts have the thread of the hub.": (
        "Muttern oder Schrauben haben das Gewinde der Nabe."
    ),
    "Each nut or bolt is held by a length of thread of {share} × its diameter at least.": (
        "Jede Mutter oder Schraube trägt auf einer Gewindelänge von mindestens {share} × "
        "Durchmesser."
    ),
    "The rim lies in the range that the tyre's maker approves; no rule gives it from the size.": (
        "Die Felge liegt im Bereich, den der Hersteller des Reifens freigibt; aus der Größe folgt "
        "er nicht."
    ),
    "The tyre's load index is not lower than the car's papers ask for.": (
        "Die Tragfähigkeitskennzahl des Reifens ist nicht kleiner als in den Papieren gefordert."
    ),
    "The tyre's speed symbol is not lower than the car's papers ask for, nor its speed than the "
    "car's.": (
        "Das Geschwindigkeitssymbol des Reifens ist nicht kleiner als in den Papieren gefordert, "
        "seine Geschwindigkeit nicht kleiner als die des Autos."
    ),
    "Two tyres carry the axle's load at the car's top speed; V, W and Y carry less near their own "
    "(91 % at 240, 85 % at 270 and at 300 km/h).": (
        "Zwei Reifen tragen die Achslast bei der Höchstgeschwindigkeit des Autos; V, W und Y "
        "tragen nahe der eigenen weniger (91 % bei 240, 85 % bei 270 und bei 300 km/h)."
    ),
    "Two wheels are rated for the axle's permitted load.": (
        "Zwei Räder sind für die zulässige Achslast ausgelegt."
    ),
    "The tyre's diameter is within {most} {unit} of the original: speed reading, gearing and "
    "brake control follow it.": (
        "Der Durchmesser des Reifens liegt höchstens {most} {unit} neben dem Original: Tacho, "
        "Übersetzung und Bremsregelung hängen daran."
    ),
    "The offset, spacer included, is smaller than the original by {most} mm at most.": (
        "Die Einpresstiefe, mit Distanzscheibe, ist höchstens {most} mm kleiner als das Original."
    ),
    "The track is wider than with the original wheels by {most} mm at most.": (
        "Die Spurweite ist höchstens {most} mm größer als mit den Originalrädern."
    ),
    "No spacer, unless the car came with it.": (
        "Keine Distanzscheibe, die nicht schon am Auto war."
    ),
    "Every nut runs on the whole of its thread.": "Jede Mutter läuft auf ihrem ganzen Gewinde.",
    "The ratio of the diameters is within {most} % of the original: both axles are driven "
    "together.": (
        "Das Verhältnis der Durchmesser liegt höchstens {most} % neben dem Original: Beide Achsen "
        "werden zusammen angetrieben."
    ),
    "The ratio of the diameters is within {most} % of the original: brake and traction control "
    "compare the axles.": (
        "Das Verhältnis der Durchmesser liegt höchstens {most} % neben dem Original: Brems- und "
        "Antriebsregelung vergleichen die Achsen."
    ),
    "The brake clears barrel and spokes by {least} mm.": (
        "Die Bremse bleibt {least} mm von Felgenbett und Speichen weg."
    ),
    "The body covers the wheel over the arc that the law asks for; the shop has chosen no law.": (
        "Die Karosserie deckt das Rad über den Bogen ab, den das Recht verlangt; der Betrieb hat "
        "kein Recht gewählt."
    ),
    "The body covers the tread from {ahead}° ahead of to {behind}° behind straight up.": (
        "Die Karosserie deckt die Lauffläche von {ahead}° vor bis {behind}° hinter der "
        "Senkrechten ab."
    ),
    "The body covers the whole width of the tyre from {ahead}° ahead of to {behind}° behind "
    "straight up.": (
        "Die Karosserie deckt die ganze Breite des Reifens von {ahead}° vor bis {behind}° hinter "
        "der Senkrechten ab."
    ),
    "Behind the wheel the cover reaches down to {height} mm above the axle.": (
        "Hinter dem Rad reicht die Abdeckung bis {height} mm über der Achse herab."
    ),
    "At least {least} mm to parts of the suspension, over all the travel and lock of the use.": (
        "Mindestens {least} mm zu Teilen des Fahrwerks, über allen Federweg und Einschlag der "
        "Nutzung."
    ),
    "At least {least} mm to the body, over all the travel and lock of the use.": (
        "Mindestens {least} mm zur Karosserie, über allen Federweg und Einschlag der Nutzung."
    ),
    "At least {least} mm lock to lock, over all the travel and lock of the use.": (
        "Mindestens {least} mm von Anschlag zu Anschlag, über allen Federweg und Einschlag der "
        "Nutzung."
    ),
    "{free} mm free over the tread.": "{free} mm frei über der Lauffläche.",
    "{free} mm free beside the tyre.": "{free} mm frei neben dem Reifen.",
    "Changed by {most} mm at most against the height of the survey.": (
        "Um höchstens {most} mm anders als die Höhe bei der Vermessung."
    ),
    "No more than {most} % of the travel in that direction is taken by height and packers.": (
        "Höhe und Begrenzer nehmen höchstens {most} % des Federwegs in dieser Richtung."
    ),
    # Sources
    "dimensions of car and wheel": "Maße von Auto und Rad",
    "dimensions of the car": "Maße des Autos",
    "common practice, no source": "üblich, ohne Quelle",
    "common practice, no source; with new pads": "üblich, ohne Quelle; mit neuen Belägen",
    "common practice, no source; lips turn in by 8 to 25 mm": (
        "üblich, ohne Quelle; Kanten sind 8 bis 25 mm umgelegt"
    ),
    "the tyre maker's data": "Angaben des Reifenherstellers",
    "the car's papers; loads by UN Regulation No. 30, Annex IV": (
        "Papiere des Autos; Lasten nach UN-Regelung Nr. 30, Anhang IV"
    ),
    "the car's papers; UN Regulation No. 30, Annex IV": (
        "Papiere des Autos; UN-Regelung Nr. 30, Anhang IV"
    ),
    "UN Regulation No. 30": "UN-Regelung Nr. 30",
    "the wheel maker's rating; the car's papers": ("Angabe des Radherstellers; Papiere des Autos"),
    "Law and practice, in the shop's settings": (
        "„Law and practice“ in den Einstellungen des Betriebs"
    ),
    # Found
    "Both {car}.": "Beide {car}.",
    "Both {seat}.": "Beide: {seat}.",
    "Both {thread}.": "Beide {thread}.",
    "The wheel has {wheel}, the hub {car}.": "Das Rad hat {wheel}, die Nabe {car}.",
    "The wheel's bore, {wheel} mm, does not go over the hub, {hub} mm.": (
        "Das Mittenloch des Rades, {wheel} mm, geht nicht über die Nabe, {hub} mm."
    ),
    "The wheel sits on the hub: {hub} mm.": "Das Rad sitzt auf der Nabe: {hub} mm.",
    "It takes a ring {wheel} mm outside, {hub} mm inside; none is named.": (
        "Es braucht einen Ring, außen {wheel} mm, innen {hub} mm; keiner ist genannt."
    ),
    "A ring {wheel} mm outside, {hub} mm inside centres it.": (
        "Ein Ring, außen {wheel} mm, innen {hub} mm, zentriert es."
    ),
    "The ring is {outer} mm outside and {inner} mm inside; it takes {wheel} mm outside, {hub} mm "
    "inside.": (
        "Der Ring ist außen {outer} mm und innen {inner} mm; nötig sind außen {wheel} mm, innen "
        "{hub} mm."
    ),
    "The wheel asks for {wheel}; the nuts or bolts have {nuts}.": (
        "Das Rad verlangt: {wheel}; die Muttern oder Schrauben haben: {nuts}."
    ),
    "{hub}, with the car's own nuts or bolts.": (
        "{hub}, mit den eigenen Muttern oder Schrauben des Autos."
    ),
    "{thread} on {hub}.": "{thread} auf {hub}.",
    "“{thread}” is no thread.": "„{thread}“ ist kein Gewinde.",
    "{engaged} mm, {turns} turns, through a {pad} mm pad; {needed} mm are needed.": (
        "{engaged} mm, {turns} Umdrehungen, durch {pad} mm Flansch; nötig sind {needed} mm."
    ),
    "{engaged} mm, {turns} turns, through a {pad} mm pad and a {spacer} mm spacer; {needed} mm "
    "are needed.": (
        "{engaged} mm, {turns} Umdrehungen, durch {pad} mm Flansch und {spacer} mm "
        "Distanzscheibe; nötig sind {needed} mm."
    ),
    "Rim {width} in; approved {low} to {high} in.": (
        "Felge {width} Zoll; freigegeben {low} bis {high} Zoll."
    ),
    "Rim {width} in; approved {low} to {high} in, too narrow.": (
        "Felge {width} Zoll; freigegeben {low} bis {high} Zoll, zu schmal."
    ),
    "Rim {width} in; approved {low} to {high} in, too wide.": (
        "Felge {width} Zoll; freigegeben {low} bis {high} Zoll, zu breit."
    ),
    "{index} ({load} kg); asked {wanted} ({asked} kg).": (
        "{index} ({load} kg); gefordert {wanted} ({asked} kg)."
    ),
    "The car's index is in no table.": "Die Kennzahl des Autos steht in keiner Tabelle.",
    "{symbol}, {speed} km/h; asked {asked}.": "{symbol}, {speed} km/h; gefordert {asked}.",
    "A tyre marked {symbol} is not made for {speed} km/h.": (
        "Ein Reifen mit {symbol} ist nicht für {speed} km/h gemacht."
    ),
    "2 × {each} kg at {speed} km/h for {load} kg.": "2 × {each} kg bei {speed} km/h für {load} kg.",
    "2 × {rating} kg for {load} kg.": "2 × {rating} kg für {load} kg.",
    "{across} mm against {original} mm: {off} mm, {share} %.": (
        "{across} mm gegen {original} mm: {off} mm, {share} %."
    ),
    "{more} mm less.": "{more} mm weniger.",
    "{more} mm more.": "{more} mm mehr.",
    "No change in this direction.": "Keine Änderung in dieser Richtung.",
    "A {spacer} mm spacer.": "Eine Distanzscheibe von {spacer} mm.",
    "None.": "Keine.",
    "Look whether the stud fills every nut.": (
        "Sehen Sie nach, ob der Bolzen jede Mutter ausfüllt."
    ),
    "Front to rear {now}, originally {before}: {off} %.": (
        "Vorn zu hinten {now}, ursprünglich {before}: {off} %."
    ),
    "{place}: {gap} ± {sigma} mm.": "{place}: {gap} ± {sigma} mm.",
    "{place}: {gap} ± {sigma} mm; not all is known.": (
        "{place}: {gap} ± {sigma} mm; nicht alles ist bekannt."
    ),
    "{place}: {gap} ± {sigma} mm, at {travel} mm of travel; standing it is more.": (
        "{place}: {gap} ± {sigma} mm, bei {travel} mm Federweg; im Stand ist es mehr."
    ),
    "Stands out {size} mm past the {place}, {angle}° ahead.": (
        "Steht {size} mm über ({place}, {angle}° vorn)."
    ),
    "Stands out {size} mm past the {place}, {angle}° behind.": (
        "Steht {size} mm über ({place}, {angle}° hinten)."
    ),
    "Stands out {size} mm past the {place}, {angle}° ahead. The edge surveyed is the lip's inner "
    "end; the visible one may cover it.": (
        "Steht {size} mm über ({place}, {angle}° vorn). Vermessen ist das innere Ende der Kante; "
        "die sichtbare deckt es vielleicht ab."
    ),
    "Stands out {size} mm past the {place}, {angle}° behind. The edge surveyed is the lip's inner "
    "end; the visible one may cover it.": (
        "Steht {size} mm über ({place}, {angle}° hinten). Vermessen ist das innere Ende der "
        "Kante; die sichtbare deckt es vielleicht ab."
    ),
    "{size} mm inside the {place} where it is least, {angle}° ahead.": (
        "An der knappsten Stelle {size} mm innerhalb ({place}, {angle}° vorn)."
    ),
    "{size} mm inside the {place} where it is least, {angle}° behind.": (
        "An der knappsten Stelle {size} mm innerhalb ({place}, {angle}° hinten)."
    ),
    "{size} mm inside the {place} where it is least, {angle}° ahead. Measured only from {behind}° "
    "behind to {before}° ahead.": (
        "An der knappsten Stelle {size} mm innerhalb ({place}, {angle}° vorn). Vermessen nur von "
        "{behind}° hinten bis {before}° vorn."
    ),
    "{size} mm inside the {place} where it is least, {angle}° behind. Measured only from "
    "{behind}° behind to {before}° ahead.": (
        "An der knappsten Stelle {size} mm innerhalb ({place}, {angle}° hinten). Vermessen nur "
        "von {behind}° hinten bis {before}° vorn."
    ),
    "Measured down to {height} mm above it.": "Vermessen bis {height} mm darüber herab.",
    "{change} mm.": "{change} mm.",
    "{taken} of {travel} mm, {share} %.": "{taken} von {travel} mm, {share} %.",
    # Missing
    "Not on record: {what}.": "Nicht bekannt: {what}.",
    "the car's bolt circle": "der Lochkreis des Autos",
    "the wheel's bolt circle": "der Lochkreis des Rades",
    "the hub's centre bore": "der Durchmesser der Nabe",
    "the wheel's centre bore": "das Mittenloch des Rades",
    "the centring ring": "der Zentrierring",
    "the wheel's seat": "der Sitz am Rad",
    "the seat of the nuts or bolts": "der Sitz der Muttern oder Schrauben",
    "the hub's thread": "das Gewinde der Nabe",
    "a thread that can be read": "ein lesbares Gewinde",
    "the thread": "das Gewinde",
    "the length of studs or bolts": "die Länge der Bolzen oder Schrauben",
    "the wheel's thickness at the bolts": "die Dicke des Rades an den Schrauben",
    "the tyre's approved rim widths": "die freigegebenen Felgenbreiten des Reifens",
    "the load index that the car asks for": "die Tragfähigkeitskennzahl in den Papieren",
    "the tyre's load index": "die Tragfähigkeitskennzahl des Reifens",
    "a load index of the table": "eine Tragfähigkeitskennzahl der Tabelle",
    "the speed symbol that the car asks for": "das Geschwindigkeitssymbol in den Papieren",
    "the tyre's speed symbol": "das Geschwindigkeitssymbol des Reifens",
    "the axle's permitted load": "die zulässige Achslast",
    "the car's top speed": "die Höchstgeschwindigkeit des Autos",
    "the wheel's load rating": "die Traglast des Rades",
    "the original tyre's size": "die Größe des Originalreifens",
    "the original tyres' sizes": "die Größen der Originalreifen",
    "the tyre's diameter": "der Durchmesser des Reifens",
    "the tyres' diameters": "die Durchmesser der Reifen",
    "the original wheel's offset": "die Einpresstiefe des Originalrads",
    "a look at the nuts": "ein Blick auf die Muttern",
    "the tyres that stay on the front axle": "die Reifen, die vorn bleiben",
    "the tyres that stay on the rear axle": "die Reifen, die hinten bleiben",
    "a room check of this order as it is": (
        "eine Prüfung des Freigangs zu diesem Auftrag, wie er jetzt ist"
    ),
    "the brake's outline in the survey": "der Umriss der Bremse in der Vermessung",
    "barrel and back of the spokes of this wheel": (
        "Felgenbett und Rückseite der Speichen dieses Rades"
    ),
    "the law that the shop goes by": "das Recht, nach dem der Betrieb geht",
    "a body edge outboard of the wheel": "eine Karosseriekante außen vom Rad",
    "the visible outer edge of the body": "die sichtbare Außenkante der Karosserie",
    "the rest of the arc": "der Rest des Bogens",
    "the rear end of the body's edge": "das hintere Ende der Karosseriekante",
    "a measured place": "eine vermessene Stelle",
    "the gap standing still": "der Abstand im Stand",
    "the room inside the wheel": "der Freigang im Rad",
    "the rest of the survey": "der Rest der Vermessung",
    "the travel of the damper": "der Weg des Dämpfers",
    # Seats
    "60° cone": "60°-Kegel",
    "90° cone": "90°-Kegel",
    "ball, 12 mm radius": "Kugel, 12 mm Radius",
    "ball, 13 mm radius": "Kugel, 13 mm Radius",
    "ball, 14 mm radius": "Kugel, 14 mm Radius",
    "flat with a washer": "flach mit Scheibe",
    "shank with a washer": "Schaft mit Scheibe",
}
