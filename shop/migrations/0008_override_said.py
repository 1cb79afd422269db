"""A manager's decision keeps what was said to the customer, in the customer's words."""

from typing import ClassVar

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies: ClassVar = [("shop", "0007_drive_apart")]

    operations: ClassVar = [
        migrations.AddField(
            model_name="gateoverride",
            name="said",
            field=models.TextField(blank=True),
        ),
    ]
