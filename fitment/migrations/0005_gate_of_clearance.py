"""Overrides of the clearance check's gate stand under its name."""

from typing import Any

from django.db import migrations


def rename(apps: Any, _schema_editor: Any) -> None:
    overrides = apps.get_model("shop", "GateOverride").objects
    overrides.filter(gate="room").update(gate="clearance")


class Migration(migrations.Migration):
    dependencies = [("fitment", "0004_tyre_shoulders"), ("shop", "0002_no_double_booking")]

    operations = [migrations.RunPython(rename, migrations.RunPython.noop)]
