from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("alignment", "0007_what_was_read")]

    operations = [
        migrations.AddField(
            model_name="acceptedadjustments",
            name="withdrawn",
            field=models.BooleanField(default=False),
        ),
    ]
