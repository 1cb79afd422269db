"""The name of an accepted option becomes a message; a name in words is kept as it was written."""

from django.db import migrations, models


def copy_titles(apps, schema_editor):
    rows = apps.get_model("alignment", "AcceptedAdjustments").objects
    for row in rows.only("pk", "title").iterator():
        rows.filter(pk=row.pk).update(option=row.title)


def copy_back(apps, schema_editor):
    """Names in words as far as there are any; the others are made from their messages later."""
    rows = apps.get_model("alignment", "AcceptedAdjustments").objects
    for row in rows.only("pk", "option").iterator():
        rows.filter(pk=row.pk).update(title=row.option if isinstance(row.option, str) else "")


class Migration(migrations.Migration):
    dependencies = [("alignment", "0003_accepted_clearance")]

    operations = [
        migrations.AddField(
            model_name="acceptedadjustments",
            name="option",
            field=models.JSONField(default=dict),
            preserve_default=False,
        ),
        migrations.RunPython(copy_titles, copy_back),
    ]
