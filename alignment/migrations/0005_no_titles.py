from django.db import migrations, models


class Migration(migrations.Migration):
    """Names of accepted options in words, which their messages replace."""

    dependencies = [("alignment", "0004_options_as_messages")]

    operations = [
        migrations.AlterField(
            model_name="acceptedadjustments",
            name="title",
            field=models.CharField(default="", max_length=200),
        ),
        migrations.RemoveField(model_name="acceptedadjustments", name="title"),
    ]
