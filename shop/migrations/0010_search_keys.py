"""A key by which each record is found; on PostgreSQL with a trigram index."""

from typing import ClassVar

from django.contrib.postgres.operations import TrigramExtension
from django.db import migrations, models

from shop.models.key_migrations import add_indexes, backfill, drop_indexes
from shop.values.search_keys import KeyKind

TABLES = {
    "Customer": {
        "name": KeyKind.WORDS,
        "phone": KeyKind.TELEPHONE,
        "email": KeyKind.WHOLE,
        "address": KeyKind.WORDS,
    },
    "CarModel": {
        "name": KeyKind.WORDS,
        "notes": KeyKind.WORDS,
        "oe_tyre_front": KeyKind.SIZE,
        "oe_tyre_rear": KeyKind.SIZE,
    },
    "Vehicle": {"description": KeyKind.WORDS, "plate": KeyKind.PLATE, "vin": KeyKind.WHOLE},
    "Part": {"number": KeyKind.WHOLE, "name": KeyKind.WORDS, "maker": KeyKind.WORDS},
    "WorkOrder": {
        "number": KeyKind.NUMBER,
        "request_text": KeyKind.SIZE,
        "class_rules": KeyKind.WORDS,
    },
}


class Migration(migrations.Migration):
    dependencies: ClassVar = [("shop", "0009_what_was_read")]
    operations: ClassVar = [
        TrigramExtension(),
        migrations.AddField(
            model_name="carmodel",
            name="search_key",
            field=models.TextField(blank=True, default="", editable=False),
        ),
        migrations.AddField(
            model_name="customer",
            name="search_key",
            field=models.TextField(blank=True, default="", editable=False),
        ),
        migrations.AddField(
            model_name="part",
            name="search_key",
            field=models.TextField(blank=True, default="", editable=False),
        ),
        migrations.AddField(
            model_name="vehicle",
            name="search_key",
            field=models.TextField(blank=True, default="", editable=False),
        ),
        migrations.AddField(
            model_name="workorder",
            name="search_key",
            field=models.TextField(blank=True, default="", editable=False),
        ),
        migrations.RunPython(backfill("shop", TABLES), migrations.RunPython.noop),
        migrations.RunPython(add_indexes("shop", TABLES), drop_indexes("shop", TABLES)),
    ]
