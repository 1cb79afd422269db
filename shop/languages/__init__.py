"""What people read, in their language and their units.

English sentences are the keys of the catalogues in ``locale/``. Pages speak the language that is
active (``shop.site.reader``); a :class:`Speech` speaks that of one reader wherever it is used, as
on a quote or a spec sheet, whose reader is the customer while a colleague makes it.
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
