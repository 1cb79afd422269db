"""The three use profiles that every shop starts with; managers change them on their page."""

from typing import Any, ClassVar

from django.db import migrations

PROFILES = {
    "street": {"envelope": [[0, 1], [0.25, 1], [1, 0.5]], "lateral_g": 0.5},
    "autocross": {"envelope": [[0, 1], [0.5, 1], [1, 0.6]], "lateral_g": 1.0},
    "track": {"envelope": [[0, 1], [0.35, 1], [1, 0.3]], "lateral_g": 1.3},
}


def add_profiles(apps: Any, schema_editor: Any) -> None:
    profiles = apps.get_model("fitment", "UseProfile").objects
    for name, values in PROFILES.items():
        profiles.get_or_create(name=name, defaults=values)


class Migration(migrations.Migration):
    dependencies: ClassVar = [("fitment", "0002_links")]
    operations: ClassVar = [migrations.RunPython(add_profiles, migrations.RunPython.noop)]
