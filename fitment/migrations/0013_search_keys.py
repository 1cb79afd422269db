"""Wheels and tyres of the catalogue are found by a key."""

from typing import ClassVar

from django.db import migrations, models

from fitment.models.wheel_words import wheel_size_words
from shop.models.key_migrations import add_indexes, backfill, drop_indexes
from shop.values.search_keys import KeyKind

TABLES = {
    "WheelModel": {"name": KeyKind.WORDS, "maker": KeyKind.WORDS, wheel_size_words: KeyKind.WORDS},
    "TyreModel": {"name": KeyKind.WORDS, "maker": KeyKind.WORDS, "size": KeyKind.SIZE},
}


class Migration(migrations.Migration):
    dependencies: ClassVar = [
        ("fitment", "0012_words_of_fields"),
        ("shop", "0010_search_keys"),
    ]
    operations: ClassVar = [
        migrations.AddField(
            model_name="tyremodel",
            name="search_key",
            field=models.TextField(blank=True, default="", editable=False),
        ),
        migrations.AddField(
            model_name="wheelmodel",
            name="search_key",
            field=models.TextField(blank=True, default="", editable=False),
        ),
        migrations.RunPython(backfill("fitment", TABLES), migrations.RunPython.noop),
        migrations.RunPython(add_indexes("fitment", TABLES), drop_indexes("fitment", TABLES)),
    ]
