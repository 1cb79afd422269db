"""Protective ribs and snow tyres; barrels that were measured, from the specified bead seat.

A measured radius inside the barrel is kept as a depth under the bead seat, whose diameter was taken
for the marked inches before.
"""

from typing import Any, ClassVar

from django.db import migrations, models

from common.rims import specified_diameter_mm
from common.units import MM_PER_INCH


def move_barrels(apps: Any, schema_editor: Any) -> None:
    wheels = apps.get_model("fitment", "WheelModel").objects.exclude(pooled={})
    for wheel in wheels.iterator():
        measured = wheel.pooled.get("wheel", {})
        if "barrel_mm" not in measured:
            continue
        by = (specified_diameter_mm(wheel.diameter_in) - MM_PER_INCH * wheel.diameter_in) / 2
        measured["barrel_mm"] = round(measured["barrel_mm"] + by, 2)
        wheel.save(update_fields=["pooled"])


class Migration(migrations.Migration):
    dependencies: ClassVar = [("fitment", "0009_further_loads")]
    operations: ClassVar = [
        migrations.AddField(
            model_name="tyremodel",
            name="protective_rib",
            field=models.BooleanField(
                "has a protective rib",
                default=False,
                help_text="A bead of rubber above the rim. The standard lets such a tyre be 8 mm "
                "wider.",
            ),
        ),
        migrations.AddField(
            model_name="tyremodel",
            name="snow",
            field=models.BooleanField(
                "snow tyre",
                default=False,
                help_text="The standard lets a snow tyre be 1 % larger in diameter.",
            ),
        ),
        migrations.RunPython(move_barrels, migrations.RunPython.noop),
    ]
