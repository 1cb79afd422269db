import django.core.validators
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0006_mounting_requirements"),
    ]

    operations = [
        migrations.AddField(
            model_name="pattern",
            name="drive_apart_percent",
            field=models.FloatField(
                blank=True,
                help_text="Difference of circumference that the car's maker allows; left empty, "
                "the shop's rule for front to rear holds.",
                null=True,
                validators=[
                    django.core.validators.MinValueValidator(0.1),
                    django.core.validators.MaxValueValidator(10),
                ],
                verbose_name="tyres that the drive joins, apart by at most, %",
            ),
        ),
        migrations.AddField(
            model_name="pattern",
            name="drive_apart_source",
            field=models.CharField(
                blank=True,
                help_text="For example: owner's manual, page 210",
                max_length=120,
                verbose_name="where that stands",
            ),
        ),
    ]
