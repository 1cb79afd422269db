"""Braking and the inside wheel of a bend in the use profiles; figures are common practice, no
source."""

from typing import Any, ClassVar

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import migrations, models

BRAKING_G = {"street": 0.8, "autocross": 1.0, "track": 1.1}


def add_loads(apps: Any, schema_editor: Any) -> None:
    profiles = apps.get_model("fitment", "UseProfile").objects
    for name, braking in BRAKING_G.items():
        profiles.filter(name=name).update(longitudinal_g=braking, inner=True)


class Migration(migrations.Migration):
    dependencies: ClassVar = [("fitment", "0008_versions")]
    operations: ClassVar = [
        migrations.AddField(
            model_name="useprofile",
            name="longitudinal_g",
            field=models.FloatField(
                "braking, g", default=0.0, validators=[MinValueValidator(0), MaxValueValidator(2)]
            ),
        ),
        migrations.AddField(
            model_name="useprofile",
            name="inner",
            field=models.BooleanField("the inside wheel of a bend as well", default=False),
        ),
        migrations.RunPython(add_loads, migrations.RunPython.noop),
    ]
