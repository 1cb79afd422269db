"""The spec sheet: heads, facts, settings, readings, the record of the work."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    # The head
    "Spec sheet": "Datenblatt",
    "Spec sheet {number}": "Datenblatt {number}",
    "{vehicle}: work done and measured": "{vehicle}: was gemacht und gemessen wurde",
    "Page {number} of {count}": "Seite {number} von {count}",
    "QR code that opens the customer's page of this order": (
        "QR-Code, der die Kundenseite dieses Auftrags öffnet"
    ),
    "Your page": "Ihre Seite",
    "Customer": "Kunde",
    "Vehicle": "Fahrzeug",
    "Order": "Auftrag",
    "Plate": "Kennzeichen",
    "Use": "Nutzung",
    "VIN": "FIN",
    "Mileage": "Kilometerstand",
    "State": "Stand",
    "{state}; this is a draft": "{state}; dies ist ein Entwurf",
    "Request: {request}": "Auftrag: {request}",
    "Fit and set up": "Einbau und Einstellung",
    "Survey visit": "Aufmaß",
    "Other work": "Andere Arbeit",
    "Comeback": "Nacharbeit",
    "Street": "Straße",
    "Autocross": "Slalom",
    "Track": "Rennstrecke",
    "Enquiry": "Anfrage",
    "Quoted": "Angeboten",
    "Approved": "Beauftragt",
    "Booked": "Eingeplant",
    "On the lift": "Auf der Bühne",
    "Road test": "Probefahrt",
    "Handed over": "Übergeben",
    "Cancelled": "Storniert",
    # Places of the car
    "Left": "Links",
    "Right": "Rechts",
    "Front": "Vorn",
    "Rear": "Hinten",
    "Either": "Vorn oder hinten",
    "front": "vorn",
    "rear": "hinten",
    "Front axle": "Vorderachse",
    "Rear axle": "Hinterachse",
    "Whole car": "Ganzes Fahrzeug",
    "Left front": "Vorn links",
    "Right front": "Vorn rechts",
    "Left rear": "Hinten links",
    "Right rear": "Hinten rechts",
    "left front": "vorn links",
    "right front": "vorn rechts",
    "left rear": "hinten links",
    "right rear": "hinten rechts",
    "{names} and {last}": "{names} und {last}",
    # Settings
    "Settings and readings": "Einstellung und Messwerte",
    "Planned. {setting}": "Geplant. {setting}",
    "camber {angle}": "Sturz {angle}",
    "camber as the adjusters give it": "Sturz, wie ihn die Versteller ergeben",
    "give of good rubber bushes assumed": "Nachgiebigkeit guter Gummilager angenommen",
    "give of worn rubber bushes assumed": "Nachgiebigkeit ausgeschlagener Gummilager angenommen",
    "give of solid bushes assumed": "Nachgiebigkeit starrer Lager angenommen",
    "caster {angle}": "Nachlauf {angle}",
    "toe {angle} per wheel": "Spur {angle} je Rad",
    "by the top mount": "über das Domlager",
    "by the lower arm": "über den unteren Lenker",
    "by the upper arm": "über den oberen Lenker",
    "at the knuckle bolts": "an den Schrauben des Radträgers",
    "by the rod": "über den Lenker",
    "by the rod “{name}”": "über den Lenker „{name}“",
    "by {name}": "über {name}",
    "Rod “{name}”": "Lenker „{name}“",
    "rod “{name}” {change}": "Lenker „{name}“ {change}",
    "ride height unchanged": "Fahrhöhe unverändert",
    "lowered by {change}": "um {change} tiefer",
    "raised by {change}": "um {change} höher",
    "fender lips rolled": "Kotflügelkanten gebördelt",
    "Ride height, change": "Änderung der Fahrhöhe",
    "Packer under the bump stop": "Begrenzer am Anschlagpuffer",
    "Top mount inboard": "Domlager nach innen",
    "Top mount rearward": "Domlager nach hinten",
    "Lower arm outward": "Unterer Lenker nach außen",
    "Upper arm inward": "Oberer Lenker nach innen",
    "Knuckle bolts, angle": "Radträgerschrauben, Winkel",
    "Target: {kind} for {use}, version {version}, {source}, as of {day}.": (
        "Ziel: {kind} für {use}, Fassung {version}, {source}, Stand {day}."
    ),
    "The vehicle maker's figures": "Werte des Fahrzeugherstellers",
    "The shop's own targets": "Zielwerte der Werkstatt",
    "The plan differs from it: {reason}": "Der Plan weicht davon ab: {reason}",
    # Readings
    "Measured": "Messgröße",
    "Before": "Vorher",
    "After": "Nachher",
    "Latest": "Zuletzt",
    "Target": "Ziel",
    "Off by": "Abw.",
    "Cross or total": "Differenz oder gesamt",
    "{figure} out": "{figure} über",
    "Camber": "Sturz",
    "Caster": "Nachlauf",
    "Steering axis inclination": "Spreizung",
    "Toe, per wheel": "Einzelspur",
    "Toe, total": "Gesamtspur",
    "Ride height": "Fahrhöhe",
    "Wheelbase": "Radstand",
    "Track width": "Spurweite",
    "Tyre pressure": "Reifendruck",
    "thrust angle": "Fahrachswinkel",
    "setback": "Radversatz",
    "Camber: minus is top inboard. Toe: plus is toe-in, per wheel; total is the sum. Caster: plus "
    "is top rearward. Cross is left less right.": (
        "Sturz: minus heißt oben nach innen. Spur: plus heißt Vorspur, je Rad; gesamt ist die "
        "Summe. Nachlauf: plus heißt oben nach hinten. Differenz ist links weniger rechts."
    ),
    "{mark} Less than the rack can tell.": "{mark} Weniger, als der Messstand auflöst.",
    "Included angle": "Spreizung und Sturz",
    "Scrub": "Radieren",
    "Scrub: how far each wheel slips sideways, running straight.": (
        "Radieren: wie weit jedes Rad geradeaus seitlich gleitet."
    ),
    "Steering wheel off": "Lenkrad schief um",
    "Front wheels off": "Vorderräder schief um",
    "Steering wheel and front wheels: where they stand while the car runs straight; plus is to the "
    "right.": (
        "Lenkrad und Vorderräder: Stellung, während das Fahrzeug geradeaus läuft; plus heißt nach "
        "rechts."
    ),
    "inches": "Zoll",
    "rack {name}": "Messstand {name}",
    "rack not noted": "Messstand nicht notiert",
    "{rack}, good for ±{angle}": "{rack}, genau auf ±{angle}",
    "technician {name}": "Techniker {name}",
    "steering wheel straight ahead and held": "Lenkrad geradeaus und festgesetzt",
    "steering wheel not noted as straight ahead": "Lenkrad geradeaus: nicht notiert",
    "rack level, plates free, springs settled": (
        "Messstand waagerecht, Platten frei, Federn gesetzt"
    ),
    "tyre pressures {figures}": "Reifendruck {figures}",
    "fuel and load: {words}": "Tank und Ladung: {words}",
    "ballast: {words}": "Ballast: {words}",
    "{figure} °C": "{figure} °C",
    "Adjuster": "Versteller",
    "Adjusters: where they stood before → where they were left": (
        "Versteller: Stellung vorher → Stellung bei der Übergabe"
    ),
    "Toe link": "Spurstange",
    # Wheels, parts, torques
    "Wheels and tyres": "Räder und Reifen",
    "Axle": "Achse",
    "Wheel": "Rad",
    "Tyre": "Reifen",
    "Spacer": "Distanzscheibe",
    "none": "keine",
    "Parts installed": "Eingebaute Teile",
    "Part": "Teil",
    "Where": "Wo",
    "Serial": "Seriennummer",
    "Removed, and where it went": "Ausgebaut, und wohin es ging",
    "Torque record": "Drehmomente",
    "Fastener": "Verbindung",
    "Figure, {unit}": "Vorgabe, {unit}",
    "Tightened to, {unit}": "Angezogen mit, {unit}",
    "Wrench": "Schlüssel",
    "Signed by": "Unterschrieben von",
    # Road test
    "On {day}. Full lock left: {left}; right: {right}; over a dip: {dip}; loaded: {loaded}.": (
        "Am {day}. Voller Einschlag links: {left}; rechts: {right}; über eine Senke: {dip}; "
        "beladen: {loaded}."
    ),
    "not done": "nicht gemacht",
    "no contact": "keine Berührung",
    "contact": "Berührung",
    "Corner": "Rad",
    "Place": "Stelle",
    "touched": "berührt",
    "Gap, {unit}": "Abstand, {unit}",
    "Note": "Bemerkung",
    # Authorisation, what comes next, signatures
    "Authorisation": "Auftrag und Unterschrift",
    "{name} authorised quote {number} for {amount} on {day}, {via}.": (
        "{name} hat das Angebot {number} über {amount} am {day} angenommen, {via}."
    ),
    "on the customer's link": "über die Kundenseite",
    "in person": "vor Ort",
    "Signed under: {sentence}": "Unterschrieben unter dem Satz: {sentence}",
    "The check said: {sentence} {name} decided on {day} to go on all the same: {reason}": (
        "Die Prüfung ergab: {sentence} {name} hat am {day} entschieden, trotzdem fortzufahren: "
        "{reason}"
    ),
    "What comes next": "Wie es weitergeht",
    "Have the wheel nuts retorqued after {first} to {last}.": (
        "Lassen Sie die Radmuttern nach {first} bis {last} nachziehen."
    ),
    "Have the wheel nuts retorqued after {first} to {last}, that is at {at_first} to {at_last}.": (
        "Lassen Sie die Radmuttern nach {first} bis {last} nachziehen, das ist bei {at_first} "
        "bis {at_last}."
    ),
    "Next check of height, alignment and room: after {check}.": (
        "Nächste Prüfung von Höhe, Achsgeometrie und Freigang: nach {check}."
    ),
    "Next check of height, alignment and room: after {check}, that is at {at}.": (
        "Nächste Prüfung von Höhe, Achsgeometrie und Freigang: nach {check}, das ist bei {at}."
    ),
    "For the workshop: name, date": "Für die Werkstatt: Name, Datum",
    "Car and sheet received, {name}: date": "Fahrzeug und Datenblatt erhalten, {name}: Datum",
}
