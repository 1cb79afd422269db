"""Languages by Django's codes, a user's own among them, and typed texts in more than one."""

from typing import ClassVar

from django.db import migrations, models

from shop.models.texts import language_choices, own_language


def english_by_its_code(apps, _editor):
    apps.get_model("shop", "Customer").objects.filter(language="en").update(language="en-gb")


class Migration(migrations.Migration):
    dependencies: ClassVar = [("shop", "0002_no_double_booking")]

    operations: ClassVar = [
        migrations.AddField(
            model_name="line",
            name="texts",
            field=models.JSONField(blank=True, default=dict, editable=False),
        ),
        migrations.AddField(
            model_name="part",
            name="texts",
            field=models.JSONField(blank=True, default=dict, editable=False),
        ),
        migrations.AddField(
            model_name="user",
            name="language",
            field=models.CharField(
                "language",
                max_length=10,
                choices=language_choices,
                blank=True,
            ),
        ),
        migrations.AlterField(
            model_name="customer",
            name="language",
            field=models.CharField(
                "language", max_length=10, choices=language_choices, default=own_language
            ),
        ),
        migrations.RunPython(english_by_its_code, migrations.RunPython.noop),
    ]
