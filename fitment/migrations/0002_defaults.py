"""The three duties that every shop starts with; managers change them on their page."""

from django.db import migrations

DUTIES = {
    "street": {"envelope": [[0, 1], [0.25, 1], [1, 0.5]], "lateral_g": 0.5},
    "autocross": {"envelope": [[0, 1], [0.5, 1], [1, 0.6]], "lateral_g": 1.0},
    "track": {"envelope": [[0, 1], [0.35, 1], [1, 0.3]], "lateral_g": 1.3},
}


def add_duties(apps, schema_editor):
    duty_model = apps.get_model("fitment", "DutyModel")
    for name, values in DUTIES.items():
        duty_model.objects.get_or_create(name=name, defaults=values)


class Migration(migrations.Migration):
    dependencies = [("fitment", "0001_initial")]

    operations = [migrations.RunPython(add_duties, migrations.RunPython.noop)]
