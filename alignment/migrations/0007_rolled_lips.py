from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("alignment", "0006_accepted_moves"),
    ]

    operations = [
        migrations.AddField(
            model_name="plannedsetting",
            name="rolled_lips",
            field=models.BooleanField(default=False),
        ),
    ]
