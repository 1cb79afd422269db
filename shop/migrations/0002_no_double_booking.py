"""On PostgreSQL the database itself refuses overlapping blocks of a bay or of a technician."""

from typing import Any, ClassVar

from django.db import migrations

ADD = """
CREATE EXTENSION IF NOT EXISTS btree_gist;
ALTER TABLE shop_booking ADD CONSTRAINT booking_bay_once
  EXCLUDE USING gist (bay_id WITH =, tstzrange(starts_at, ends_at, '[)') WITH &&);
ALTER TABLE shop_booking ADD CONSTRAINT booking_technician_once
  EXCLUDE USING gist (technician_id WITH =, tstzrange(starts_at, ends_at, '[)') WITH &&);
"""
REMOVE = """
ALTER TABLE shop_booking DROP CONSTRAINT IF EXISTS booking_bay_once;
ALTER TABLE shop_booking DROP CONSTRAINT IF EXISTS booking_technician_once;
"""


def add(apps: Any, schema_editor: Any) -> None:
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute(ADD)


def remove(apps: Any, schema_editor: Any) -> None:
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute(REMOVE)


class Migration(migrations.Migration):
    dependencies: ClassVar = [("shop", "0001_initial")]
    operations: ClassVar = [migrations.RunPython(add, remove)]
