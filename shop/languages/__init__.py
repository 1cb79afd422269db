"""What people read, in their language and their units.

English sentences are the keys of the catalogues in ``locale/``. Pages speak the language that is
active (``shop.site.reader``); a :class:`Speech` speaks that of one reader wherever it is used, as
on a quote or a spec sheet, whose reader is the customer while a colleague makes it.

How a sentence is marked:

* In a template ``{% translate "…" %}``, or ``{% blocktranslate %}`` with values and, after
  ``count``, a ``{% plural %}``; neither has to be loaded.
* In a view, form or service ``gettext``; in what is made when a module is read (labels, error
  messages, choices) ``gettext_lazy``; in a table that is looked up later ``gettext_noop``.
  Figures and names go into braces after the translation, ``_("{part} is saved.").format(part=…)``,
  and a sentence is never put together from pieces. A word with several meanings gets a context:
  ``pgettext``, ``{% translate "Track" context "use of a car" %}``.
* What is read by another person than its writer is said by a ``Speech``:
  ``speech.say("… {name} …", name=…)``, ``say_many`` for a count, ``say_in`` with a context, with
  ``speech_of(order)`` or a section's ``speech_on(styles)``; ``speech.active()`` makes its language
  the active one for labels of choices. A page of the staff that shows such a document does so in
  ``{% language order.customer.language %}``.
* What pure code tells is a message, ``message("finding.contact", spot=…, gap_mm=…)``, each
  parameter named with its unit at the end. Its sentence stands under the same code in
  ``fitment/text/messages/`` or ``alignment/text/messages.py``: ``sentence("… {gap_mm} …")``, or
  ``plural(one, many)`` for a ``count``; a parameter that is not written as its unit is gets a form,
  ``gap_mm=clearance()``. Templates show it with ``|told``, Python with ``render(told, reader)``:
  ``SHOP`` is whoever reads the page, ``customer(speech)`` a customer, ``on_record()`` the log; what
  is kept is ``message_dump(told)``. A refusal that people read is a ``Told``.
* Figures are written by a ``Speech``, the filters of ``archroom``, or in pure code by
  ``common/numerals.py``; days and times by ``dates`` and the filters ``day``, ``moment`` and
  ``clock``.
* Words that people typed go through ``may_say``, which knows those of ``glossary``; a text that
  shops give in several languages is a ``Translated`` row (``shop/models/texts.py``), its fields
  come from ``shop/site/text_fields.py``, and it is read with ``text_in``.
"""

from shop.languages.speech import (
    ENGLISH,
    LANGUAGES,
    Language,
    Speech,
    language_tag,
    speech_for,
    speech_of,
    speech_of_page,
    speech_of_shop,
)

__all__ = [
    "ENGLISH",
    "LANGUAGES",
    "Language",
    "Speech",
    "language_tag",
    "speech_for",
    "speech_of",
    "speech_of_page",
    "speech_of_shop",
]
