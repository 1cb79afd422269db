"""The room check: verdicts, sentences, adjusters, readings that would settle a doubt, drawings."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "Room for the wheels": "Freigang der Räder",
    "Checked on {day}.": "Geprüft am {day}.",
    "Checked {day}.": "Geprüft: {day}.",
    "The job has changed since: this check is out of date.": (
        "Der Auftrag wurde seither geändert: Diese Prüfung gilt nicht mehr."
    ),
    # Verdicts
    "clear": "frei",
    "tight": "knapp",
    "doubtful": "unsicher",
    "unmeasured": "nicht vermessen",
    "out of reach": "außer Reichweite",
    "overlap": "zu nah",
    "nearer": "näher",
    "farther": "weiter weg",
    "A second wheel and tyre is drawn dashed.": (
        "Ein zweites Rad mit Reifen ist gestrichelt gezeichnet."
    ),
    "Dashed: the wheel and tyre that are on the car now. Nearer and farther say where the new "
    "ones stand beside them.": (
        "Gestrichelt: Rad und Reifen, die jetzt am Auto sind. Näher und weiter weg sagen, wie das "
        "neue Rad daneben steht."
    ),
    "touches as well": "berührt ebenfalls",
    "unmeasured as well": "ebenfalls nicht vermessen",
    "doubtful as well": "ebenfalls unsicher",
    "tight as well": "ebenfalls knapp",
    # Sentences
    "Nothing was checked.": "Es wurde nichts geprüft.",
    "More room at {corners}.": "Mehr Freigang {corners}.",
    "1 more place touches": "1 weitere Stelle berührt",
    "{count} more places touch": "{count} weitere Stellen berühren",
    "beyond that unmeasured: {missing}": "darüber hinaus nicht vermessen: {missing}",
    "nothing was surveyed here": "hier wurde nichts vermessen",
    "unmeasured, so not known to clear: {why}": (
        "nicht vermessen, also nicht als frei bekannt: {why}"
    ),
    "no body edge outboard from {start}° to {end}° of clock": (
        "außen keine Karosseriekante zwischen {start}° und {end}° am Radumfang"
    ),
    "nothing measured inboard from {start}° to {end}° of clock": (
        "innen nichts gemessen zwischen {start}° und {end}° am Radumfang"
    ),
    "nothing measured that the knuckle or strut carries": (
        "nichts gemessen, was Radträger oder Federbein tragen"
    ),
    "how this wheel moves over its travel: typical curves stand in for measured ones": (
        "wie sich dieses Rad beim Federn bewegt: typische Kurven stehen für gemessene"
    ),
    "how far the wheel can go into bump is not known": (
        "wie weit das Rad einfedern kann, ist nicht bekannt"
    ),
    "nothing can be said about the {place} ({why})": (
        "über diese Stelle lässt sich nichts sagen: {place} ({why})"
    ),
    "the back of the spokes and the barrel were not measured": (
        "Speichenrückseite und Felgenbett wurden nicht vermessen"
    ),
    "the {part} touches the {place}, {overlap} too close, {pose}": (
        "{part} berührt {place}, {overlap} zu nah, {pose}"
    ),
    "the {part} may touch the {place}: {gap} of room, give or take {sigma} ({chance} chance of "
    "touching), {pose}; {reading} would settle most of it": (
        "{part} berührt vielleicht {place}: {gap} Luft bei einer Unsicherheit von {sigma} "
        "({chance} Wahrscheinlichkeit einer Berührung), {pose}; am meisten Klarheit brächte: "
        "{reading}"
    ),
    "the {part} passes the {place} with {gap} where {needed} is wanted, {pose}": (
        "{gap} Luft zwischen {part} und {place}, gewünscht sind {needed}, {pose}"
    ),
    "the {part} clears the {place} by {gap}, {pose}": (
        "{gap} Luft zwischen {part} und {place}, {pose}"
    ),
    "less than {length}": "weniger als {length}",
    "under 1 %": "unter 1 %",
    "over 99 %": "über 99 %",
    "in every pose, since both move together": "in jeder Stellung, da sich beide gemeinsam bewegen",
    "{angle} of lock inward": "{angle} nach innen eingeschlagen",
    "{angle} of lock outward": "{angle} nach außen eingeschlagen",
    "straight ahead": "geradeaus",
    "loaded in a bend": "in der Kurve belastet",
    "at ride height": "auf Fahrhöhe",
    "{length} into bump": "{length} eingefedert",
    "{length} into droop": "{length} ausgefedert",
    "The {corner} corner has never been surveyed, so nothing can be said about the room there.": (
        "Die Radstelle {corner} wurde nie vermessen, über den Freigang dort lässt sich nichts "
        "sagen."
    ),
    "The {corners} corners have never been surveyed, so nothing can be said about the room "
    "there.": (
        "Die Radstellen {corners} wurden nie vermessen, über den Freigang dort lässt sich nichts "
        "sagen."
    ),
    "The suspension as surveyed cannot be set as planned: {why}": (
        "Die Radaufhängung lässt sich, wie sie vermessen ist, nicht so einstellen: {why}"
    ),
    # Readings that would settle a doubt
    "measuring this place again, above all its radius from the hub axis": (
        "diese Stelle neu messen, vor allem ihren Abstand von der Radachse"
    ),
    "measuring this place again, above all its distance from the hub face": (
        "diese Stelle neu messen, vor allem ihren Abstand von der Anlagefläche"
    ),
    "measuring the section width on this wheel": "die Reifenbreite auf diesem Rad messen",
    "taping the tyre's circumference": "den Umfang des Reifens mit dem Band messen",
    "tracing the tyre's shoulder": "die Schulter des Reifens abnehmen",
    "measuring the wheel's offset": "die Einpresstiefe des Rades messen",
    "measuring the lip again once it is rolled": ("die Kante nach dem Bördeln noch einmal messen"),
    "measuring this wheel between its flanges": "die Maulweite dieses Rades messen",
    "measuring the barrel of this wheel": "das Felgenbett dieses Rades innen messen",
    "tracing the back of the spokes of this wheel": (
        "die Rückseite der Speichen dieses Rades abtasten"
    ),
    "setting the camber more closely": "den Sturz genauer einstellen",
    "setting the toe more closely": "die Spur genauer einstellen",
    "reading the height once the springs have settled": (
        "die Höhe ablesen, wenn sich die Federn gesetzt haben"
    ),
    "measuring how camber gives under side load": (
        "messen, wie der Sturz unter Seitenkraft nachgibt"
    ),
    "measuring how toe gives under side load": ("messen, wie die Spur unter Seitenkraft nachgibt"),
    "measuring how far the hub goes inboard under side load": (
        "messen, wie weit die Nabe unter Seitenkraft nach innen geht"
    ),
    "measuring where the bump stop ends": "messen, wo der Anschlagpuffer endet",
    "reading the lock on turn plates": "den Einschlag auf Drehplatten ablesen",
    "reading the camber hanging and jacked up": "den Sturz hängend und angehoben ablesen",
    "reading the toe hanging and jacked up": "die Spur hängend und angehoben ablesen",
    "reading how far the hub moves sideways over its travel": (
        "ablesen, wie weit die Nabe beim Federn seitlich wandert"
    ),
    "reading how far the hub moves fore and aft over its travel": (
        "ablesen, wie weit die Nabe beim Federn in Längsrichtung wandert"
    ),
    "reading this gap on the car itself, with the wheel that is on it,": (
        "diesen Abstand am Fahrzeug selbst ablesen, mit dem Rad, das montiert ist"
    ),
    "a closer reading of the {source}": "genauer messen: {source}",
    # Reach
    "out of reach: {adjuster} is needed at {needed}, the parts fitted allow {least} to {most}, "
    "short by {short}; {parts} would give it.": (
        "Außer Reichweite: {adjuster}, nötig {needed}, mit den Teilen möglich {least} bis {most}, "
        "es fehlen {short}; das gäbe: {parts}."
    ),
    "top mount inboard": "Domlager nach innen",
    "top mount rearward": "Domlager nach hinten",
    "lower ball joint outboard": "unteres Kugelgelenk nach außen",
    "upper ball joint inboard": "oberes Kugelgelenk nach innen",
    "turn of the knuckle in the strut clamp": "Drehung des Radträgers in der Federbeinklemme",
    "toe link longer": "Spurstange länger",
    "ride height": "Fahrhöhe",
    "bump packer": "Begrenzer",
    "a camber plate with longer slots": "ein Domlager mit längeren Schlitzen",
    "a top plate that also slides fore and aft": "ein Domlager, das auch längs verschiebbar ist",
    "arm shims or a lower arm of adjustable length": (
        "Beilagen oder ein unterer Lenker mit einstellbarer Länge"
    ),
    "an upper arm of adjustable length": "ein oberer Lenker mit einstellbarer Länge",
    "an eccentric bolt or a slotted clamp": "eine Exzenterschraube oder eine geschlitzte Klemme",
    "a toe link with more thread": "eine Spurstange mit mehr Gewinde",
    "other springs or seats that travel further": "andere Federn oder weiter verstellbare Teller",
    "a packer of another thickness": "ein Begrenzer anderer Dicke",
    # Drawings
    "Room of the {corner} wheel": "Freigang des Rades {corner}",
    "Section through wheel and tyre from the spin axis up, outboard to the right. Around it, "
    "everything that comes near over all travel and steering.": (
        "Schnitt durch Rad und Reifen von der Drehachse aufwärts, außen ist rechts. Ringsum alles, "
        "was über Federweg und Lenkeinschlag nahe kommt."
    ),
    "Numbers are gaps in {unit}, the smallest over all travel and lock.": (
        "Die Zahlen sind Abstände in {unit}, die kleinsten über Federweg und Lenkeinschlag."
    ),
    "Hatching rising to the right: what the body's edges sweep past the wheel.": (
        "Nach rechts steigende Schraffur: was die Karosserie am Rad überstreicht."
    ),
    "A thin line by itself: the path of a single measured point.": (
        "Eine dünne Linie allein: der Weg eines einzelnen Messpunkts."
    ),
    "Hatching falling to the right: moves with the hub.": (
        "Nach rechts fallende Schraffur: bewegt sich mit der Nabe."
    ),
    "A cross: a single measured point that moves with the hub.": (
        "Ein Kreuz: ein einzelner Messpunkt, der sich mit der Nabe bewegt."
    ),
    "Crossed hatching in a dotted line: overlap.": (
        "Gekreuzte Schraffur in gepunkteter Linie: Überschneidung."
    ),
    "Not dimensioned: {gaps}.": "Nicht bemaßt: {gaps}.",
    "Camber and toe over travel, before and after": (
        "Sturz und Spur über den Federweg, vorher und nachher"
    ),
    "camber": "Sturz",
    "toe": "Spur",
    "{what}: a plot over the travel of the wheel, before and after. The figures at the ends of the "
    "lines are printed beside them.": (
        "{what}: ein Diagramm über den Federweg, vorher und nachher. Die Zahlen an den Enden der "
        "Linien stehen daneben."
    ),
}
