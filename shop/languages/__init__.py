"""What customers read, in their language and their units.

English sentences are the keys: ``speech.say("Parts installed")`` answers the sentence of the
catalogue of the customer's language. A catalogue is a plain dictionary, so that a check of types
and a test can hold it complete: ``tests/shop/test_languages.py`` finds every sentence that is
said anywhere and fails for one that a catalogue lacks.
"""

from shop.languages.speech import (
    ENGLISH,
    LANGUAGES,
    Language,
    MissingWords,
    Speech,
    speech_for,
    speech_of,
)

__all__ = [
    "ENGLISH",
    "LANGUAGES",
    "Language",
    "MissingWords",
    "Speech",
    "speech_for",
    "speech_of",
]
