from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("alignment", "0003_target_sheets"),
    ]

    operations = [
        migrations.AddField(
            model_name="plannedsetting",
            name="bushes",
            field=models.CharField(
                blank=True,
                choices=[
                    ("rubber", "rubber in good order"),
                    ("worn", "worn rubber"),
                    ("solid", "solid, or ball joints"),
                ],
                max_length=6,
            ),
        ),
    ]
