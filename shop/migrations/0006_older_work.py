from django.db import migrations

# By these words work on the body was known before lines were marked with it.
WORDS = ("fender", "arch lip", "roll the lip", "wing edge", "radlauf", "kotflügel", "bördel")


def mark_work_on_the_body(apps, schema_editor):
    line = apps.get_model("shop", "Line")
    for row in line.objects.filter(work="").iterator():
        if any(word in row.description.casefold() for word in WORDS):
            line.objects.filter(pk=row.pk).update(work="lips")


def name_the_spot(apps, schema_editor):
    marks = apps.get_model("shop", "ContactMark")
    marks.objects.filter(place="").update(place="spot not named")


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0005_work_and_road_tests"),
    ]

    operations = [
        migrations.RunPython(mark_work_on_the_body, migrations.RunPython.noop),
        migrations.RunPython(name_the_spot, migrations.RunPython.noop),
    ]
