from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("shop", "0006_older_work"),
    ]

    operations = [
        migrations.AddConstraint(
            model_name="contactmark",
            constraint=models.CheckConstraint(
                condition=models.Q(("place", ""), _negated=True), name="mark_has_its_spot"
            ),
        ),
        migrations.AddConstraint(
            model_name="roadtest",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("touched_spots__isnull", True),
                    ("touched_spots__gt", 0),
                    models.Q(
                        ("lock_left", "touched"),
                        ("lock_right", "touched"),
                        ("dip", "touched"),
                        ("loaded", "touched"),
                        _connector="OR",
                        _negated=True,
                    ),
                    _connector="OR",
                ),
                name="road_test_contact_has_its_spot",
            ),
        ),
        migrations.AddConstraint(
            model_name="roadtest",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("contradiction", ""), models.Q(("wrong", ""), _negated=True), _connector="OR"
                ),
                name="road_test_contradiction_is_judged",
            ),
        ),
    ]
