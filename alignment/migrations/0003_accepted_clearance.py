"""The tightest spot after accepted adjustments is called what it is everywhere: clearance."""

from django.db import migrations


class Migration(migrations.Migration):
    dependencies = [("alignment", "0002_links")]

    operations = [migrations.RenameField("acceptedadjustments", "room", "clearance")]
