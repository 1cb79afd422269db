"""Opening hours by weekday, appointments that stay on record when they end, calendar feeds."""

import datetime as dt
import uuid
from typing import Any, ClassVar

import django.db.models.deletion
import django.db.models.manager
from django.conf import settings
from django.db import migrations, models

import shop.models.feeds
import shop.models.versioned

USUAL = (dt.time(8), dt.time(18))
DROP = """
ALTER TABLE shop_booking DROP CONSTRAINT IF EXISTS booking_bay_once;
ALTER TABLE shop_booking DROP CONSTRAINT IF EXISTS booking_technician_once;
"""
ADD = """
ALTER TABLE shop_booking ADD CONSTRAINT booking_{name}_once
  EXCLUDE USING gist ({name}_id WITH =, tstzrange(starts_at, ends_at, '[)') WITH &&)
  {where};
"""


def _constraints(schema_editor: Any, where: str) -> None:
    if schema_editor.connection.vendor == "postgresql":
        schema_editor.execute(DROP)
        for name in ("bay", "technician"):
            schema_editor.execute(ADD.format(name=name, where=where))


def standing_only(apps: Any, schema_editor: Any) -> None:
    _constraints(schema_editor, "WHERE (ended = '')")


def all_blocks(apps: Any, schema_editor: Any) -> None:
    _constraints(schema_editor, "")


def fill_uids(apps: Any, schema_editor: Any) -> None:
    bookings = apps.get_model("shop", "Booking")._base_manager
    for booking in bookings.filter(uid__isnull=True).iterator():
        bookings.filter(pk=booking.pk).update(uid=uuid.uuid4())


def keep_hours(apps: Any, schema_editor: Any) -> None:
    """One pair of hours for all days becomes that of each weekday."""
    shop = apps.get_model("shop", "ShopSettings")._base_manager.first()
    if shop is None or (shop.day_starts, shop.day_ends) == USUAL:
        return
    days = apps.get_model("shop", "OpeningDay")
    days._base_manager.bulk_create(
        days(weekday=day, opens=shop.day_starts, closes=shop.day_ends) for day in range(7)
    )


class Migration(migrations.Migration):
    dependencies: ClassVar = [("shop", "0011_news")]
    operations: ClassVar = [
        migrations.CreateModel(
            name='OpeningDay',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('version', shop.models.versioned.VersionField(default=1, editable=False)),
                ('weekday', models.PositiveSmallIntegerField(unique=True, verbose_name='weekday')),
                ('opens', models.TimeField(blank=True, null=True, verbose_name='opens')),
                ('closes', models.TimeField(blank=True, null=True, verbose_name='closes')),
            ],
            options={
                'ordering': ['weekday'],
                'constraints': [models.CheckConstraint(condition=models.Q(('weekday__lte', 6)), name='opening_day_of_the_week'), models.CheckConstraint(condition=models.Q(models.Q(('closes__isnull', True), ('opens__isnull', True)), models.Q(('closes__gt', models.F('opens')), ('closes__isnull', False), ('opens__isnull', False)), _connector='OR'), name='opening_day_closes_after_it_opens')],
            },
        ),
        migrations.RunPython(keep_hours, migrations.RunPython.noop),
        migrations.RemoveField(
            model_name='shopsettings',
            name='day_ends',
        ),
        migrations.RemoveField(
            model_name='shopsettings',
            name='day_starts',
        ),
        migrations.CreateModel(
            name='ClosedDay',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('day', models.DateField(unique=True, verbose_name='day')),
                ('reason', models.CharField(blank=True, max_length=80, verbose_name='reason')),
            ],
            options={
                'ordering': ['day'],
            },
        ),
        migrations.AlterModelOptions(
            name='booking',
            options={'base_manager_name': 'on_record', 'default_manager_name': 'objects', 'ordering': ['starts_at', 'pk']},
        ),
        migrations.AlterModelManagers(
            name='booking',
            managers=[
                ('objects', django.db.models.manager.Manager()),
                ('on_record', django.db.models.manager.Manager()),
            ],
        ),
        migrations.AddField(
            model_name='booking',
            name='changed_at',
            field=models.DateTimeField(auto_now=True),
        ),
        migrations.AddField(
            model_name='booking',
            name='changes',
            field=models.PositiveIntegerField(default=0),
        ),
        migrations.AddField(
            model_name='booking',
            name='ended',
            field=models.CharField(blank=True, choices=[('', 'stands'), ('cancelled', 'cancelled'), ('no_show', 'the car did not come')], default='', max_length=10),
        ),
        migrations.AddField(
            model_name='booking',
            name='ended_reason',
            field=models.CharField(blank=True, max_length=200, verbose_name='reason'),
        ),
        migrations.AddField(
            model_name='booking',
            name='outside_reason',
            field=models.CharField(blank=True, max_length=200, verbose_name='reason for a time outside the opening hours'),
        ),
        migrations.CreateModel(
            name='CalendarFeed',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('secret', models.CharField(default=shop.models.feeds.new_secret, max_length=64)),
                ('renewed_at', models.DateTimeField(auto_now=True)),
                ('bay', models.OneToOneField(null=True, on_delete=django.db.models.deletion.CASCADE, related_name='feed', to='shop.bay')),
                ('person', models.OneToOneField(null=True, on_delete=django.db.models.deletion.CASCADE, related_name='feed', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['pk'],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('bay__isnull', True), ('person__isnull', False)), models.Q(('bay__isnull', False), ('person__isnull', True)), _connector='OR'), name='feed_of_a_bay_or_a_person')],
            },
        ),
        migrations.AddField(
            model_name='booking',
            name='uid',
            field=models.UUIDField(null=True),
        ),
        migrations.RunPython(fill_uids, migrations.RunPython.noop),
        migrations.AlterField(
            model_name='booking',
            name='uid',
            field=models.UUIDField(default=uuid.uuid4, editable=False, unique=True),
        ),
        migrations.RunPython(standing_only, all_blocks),
    ]
