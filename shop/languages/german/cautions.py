"""Cautions for customers."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "Caution.": "Achtung.",
    "Cautions": "Hinweise",
    "Behind a spacer the thread must still engage by at least its own diameter: count the turns, "
    "and fit longer bolts or studs where they are too few.": (
        "Hinter einer Distanzscheibe muss das Gewinde noch mindestens um den eigenen Durchmesser "
        "greifen: Zählen Sie die Umdrehungen, und nehmen Sie längere Schrauben oder Bolzen, wo es "
        "zu wenige sind."
    ),
    "New springs settle in the first weeks. The ride height is read again then, and the alignment "
    "with it.": (
        "Neue Federn setzen sich in den ersten Wochen. Dann wird die Fahrhöhe neu gemessen, und "
        "mit ihr die Achsgeometrie."
    ),
    "After a change of ride height the headlamps are aimed again.": (
        "Nach einer Änderung der Fahrhöhe werden die Scheinwerfer neu eingestellt."
    ),
    "After the alignment the steering-angle sensor is set to zero, and the driver-assistance "
    "sensors are calibrated as the vehicle's maker says.": (
        "Nach der Achsvermessung wird der Lenkwinkelsensor auf null gesetzt, und die Sensoren der "
        "Fahrerassistenz werden nach Vorgabe des Herstellers kalibriert."
    ),
    "The room check is worked out from measurements, with the doubt that is stated. If you "
    "hear or smell a tyre rubbing, stop and call us: a rubbing tyre can fail.": (
        "Die Prüfung des Freigangs ist eine Schätzung aus Messungen, mit der genannten "
        "Unsicherheit. Wenn Sie einen Reifen schleifen hören oder riechen, halten Sie an und rufen "
        "Sie uns an: Ein schleifender Reifen kann versagen."
    ),
    "A rolled or cut fender can rust and crack: look at the edge now and then, and keep the paint "
    "closed.": (
        "Ein gebördelter oder geschnittener Kotflügel kann rosten und reißen: Sehen Sie die Kante "
        "ab und zu an, und halten Sie den Lack geschlossen."
    ),
    "The fender lips of this axle are to be rolled: that can crack their paint and let them rust, "
    "and the law of your place may forbid it or ask for an inspection.": (
        "Die Kotflügelkanten dieser Achse sollen gebördelt werden: Dabei kann der Lack reißen und "
        "das Blech rosten, und das Recht Ihres Ortes kann es verbieten oder eine Abnahme verlangen."
    ),
    "Changed suspension, wheels or ride height may have to be inspected, registered or told to "
    "the insurer. The law of your place and a licensed inspector decide that.": (
        "Ein geändertes Fahrwerk, andere Räder oder eine andere Fahrhöhe müssen vielleicht "
        "abgenommen, eingetragen oder der Versicherung gemeldet werden. Darüber entscheiden das "
        "Recht Ihres Ortes und ein zugelassener Prüfer."
    ),
    "Load index and speed symbol of a tyre, and the load rating of a wheel, are never lower than "
    "the vehicle's maker asks for.": (
        "Tragfähigkeits- und Geschwindigkeitskennzahl eines Reifens und die Traglast eines Rades "
        "sind nie geringer, als der Hersteller des Fahrzeugs verlangt."
    ),
    "You told us that the car runs under {rules}. Changed suspension, wheels or tyres can move a "
    "car into another class or bar it from its own: please read your rules on these parts before "
    "you agree, since parts that were ordered for you are yours.": (
        "Sie sagten uns, dass das Fahrzeug unter diesem Reglement fährt: {rules}. Ein geändertes "
        "Fahrwerk, andere Räder oder Reifen können es in eine andere Klasse bringen oder von der "
        "eigenen ausschließen: Bitte lesen Sie Ihr Reglement zu diesen Teilen, bevor Sie "
        "zustimmen, denn Teile, die für Sie bestellt wurden, gehören Ihnen."
    ),
    "You told us that the car runs under {rules}. Changed suspension, wheels or tyres can move a "
    "car into another class or bar it from its own: tell the scrutineers what was changed.": (
        "Sie sagten uns, dass das Fahrzeug unter diesem Reglement fährt: {rules}. Ein geändertes "
        "Fahrwerk, andere Räder oder Reifen können es in eine andere Klasse bringen oder von der "
        "eigenen ausschließen: Sagen Sie der technischen Abnahme, was geändert wurde."
    ),
}
