"""The diameter of toe lengths as it was typed, beside the millimetres that it means."""

from typing import ClassVar

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies: ClassVar = [("alignment", "0004_bushes")]

    operations: ClassVar = [
        migrations.AddField(
            model_name="rackvisit",
            name="toe_diameter_typed",
            field=models.CharField(blank=True, max_length=40),
        ),
    ]
