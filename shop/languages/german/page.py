"""The customer's page: the state of the job, the letter, the signature."""

from collections.abc import Mapping

WORDS: Mapping[str, str] = {
    "{car} at {shop}": "{car} bei {shop}",
    "Skip to the page": "Zum Inhalt",
    "Where you are": "Wo Sie sind",
    "We have your wish, and are working out what fits and what it costs.": (
        "Wir haben Ihren Wunsch und klären, was passt und was es kostet."
    ),
    "Your quote is below. The work starts after you have authorised it.": (
        "Unten steht Ihr Angebot. Die Arbeit beginnt, wenn Sie es angenommen haben."
    ),
    "You have authorised the work. We will find a time for it.": (
        "Sie haben den Auftrag erteilt. Wir suchen einen Termin."
    ),
    "Your car has a time with us.": "Ihr Fahrzeug hat einen Termin bei uns.",
    "Your car is on the lift.": "Ihr Fahrzeug steht auf der Bühne.",
    "The work is done, and your car is on its road test.": (
        "Die Arbeit ist getan, Ihr Fahrzeug ist auf Probefahrt."
    ),
    "The work is done, and your car was handed over.": (
        "Die Arbeit ist getan, Ihr Fahrzeug wurde übergeben."
    ),
    "This order was closed without work.": "Dieser Auftrag wurde ohne Arbeit geschlossen.",
    "We are waiting for the parts.": "Wir warten auf die Teile.",
    "{day}, {start} to {end}": "{day}, {start} bis {end} Uhr",
    "Your spec sheet (PDF)": "Ihr Datenblatt (PDF)",
    "Have the wheel nuts retorqued after {first} to {last}, and let us look again after {check}.": (
        "Lassen Sie die Radmuttern nach {first} bis {last} nachziehen, und lassen Sie uns nach "
        "{check} noch einmal nachsehen."
    ),
    "Order {number}.": "Auftrag {number}.",
    "Questions: {phone}": "Fragen: {phone}",
    "This page is yours alone: do not pass its address on.": (
        "Diese Seite gehört nur Ihnen: Geben Sie ihre Adresse nicht weiter."
    ),
    "A room check is worked out from measurements, and each of them has its doubt. Turn the wheel "
    "to both locks and look all the same.": (
        "Eine Prüfung des Freigangs ist eine Schätzung aus Messungen mit genannter Unsicherheit. "
        "Sie ersetzt nie, die Lenkung von Anschlag zu Anschlag zu drehen und hinzusehen."
    ),
    "Program": "Programm",
    "Measures": "Maße",
    # The letter
    "Quote {number} for your {car}": "Angebot {number} für Ihr Fahrzeug: {car}",
    "You asked for: {request}": "Ihr Auftrag: {request}",
    "Lines of the quote": "Posten des Angebots",
    "Work or part": "Arbeit oder Teil",
    "Quantity": "Anzahl",
    "Price of one": "Einzelpreis",
    "Net": "Netto",
    "Tax {rate} %": "Steuer {rate} %",
    "Total": "Summe",
    "What the checks say.": "Was die Prüfungen ergeben.",
    "What does not pass or is still open": "Was nicht besteht oder noch offen ist",
    "Check": "Prüfung",
    "Found": "Gefunden",
    "Asked, and by whom": "Gefordert, und von wem",
    "In the words of the record:": "Im Wortlaut des Protokolls:",
    # The signature
    "Authorise the work": "Auftrag erteilen",
    "Authorised by {name} on {at}, {via}, for {amount}.": (
        "Beauftragt von {name} am {at}, {via}, für {amount}."
    ),
    "Signed under:": "Unterschrieben unter dem Satz:",
    "Not saved: something needs another look. The rest is still filled in.": (
        "Nicht gespeichert: Etwas braucht noch einen Blick. Alles andere ist noch ausgefüllt."
    ),
    "Your name, the time and the amount are kept with the quote.": (
        "Ihr Name, die Zeit und der Betrag werden mit dem Angebot aufbewahrt."
    ),
    "Your full name": "Ihr vollständiger Name",
    "Please write your full name.": "Bitte schreiben Sie Ihren vollständigen Namen.",
    "Please tick that you authorise the work.": (
        "Bitte kreuzen Sie an, dass Sie den Auftrag erteilen."
    ),
    "I have read the warning above and want the work all the same": (
        "Ich habe die Warnung oben gelesen und will die Arbeit trotzdem"
    ),
    "I authorise the work of this letter for {total}": (
        "Ich erteile den Auftrag für die Arbeit dieses Schreibens über {total}"
    ),
    "I authorise the work of this letter for {total}, and have read what it says about class "
    "rules": (
        "Ich erteile den Auftrag für die Arbeit dieses Schreibens über {total} und habe gelesen, "
        "was es zum Klassenreglement sagt"
    ),
    "A newer quote has been sent since: please read that one.": (
        "Inzwischen gibt es ein neueres Angebot: Bitte lesen Sie jenes."
    ),
    "This quote is authorised already.": "Dieses Angebot ist schon angenommen.",
    "This order is not waiting for an authorisation.": (
        "Dieser Auftrag wartet auf keine Unterschrift."
    ),
    "The amount is not the one of this quote: please read it again.": (
        "Der Betrag ist nicht der dieses Angebots: Bitte lesen Sie es noch einmal."
    ),
    "Please tick that you have read the warning.": (
        "Bitte kreuzen Sie an, dass Sie die Warnung gelesen haben."
    ),
    "Ways that were looked at": "Geprüfte Möglichkeiten",
    "Way": "Möglichkeit",
    "Parts of the axle, net": "Teile der Achse, netto",
    "Room": "Freigang",
    "Chosen": "Gewählt",
    "Declined": "Abgelehnt",
    "not known": "nicht bekannt",
}
