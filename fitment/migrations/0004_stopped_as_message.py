"""Keep why a check stopped as a message, and drop sentences that are made from answers."""

from typing import Any, ClassVar

from django.db import migrations, models


def sentence_to_message(apps: Any, _: Any) -> None:
    """Keep the reason of each check that has no answer, as it was written.

    The sentence that held it told first that the suspension could not be set.
    """
    for check in apps.get_model("fitment", "ClearanceCheck").objects.defer("inputs", "scenes"):
        if not check.answer.get("content", check.answer):
            reason = check.sentence.partition(": ")[2] or check.sentence
            check.stopped = {"code": "verbatim", "params": {"text": reason.rstrip(".")}}
            check.save(update_fields=["stopped"])


class Migration(migrations.Migration):
    dependencies: ClassVar = [("fitment", "0003_use_profiles")]
    operations: ClassVar = [
        migrations.AddField("clearancecheck", "stopped", models.JSONField(default=dict)),
        migrations.RunPython(sentence_to_message, migrations.RunPython.noop),
        migrations.AlterField("clearancecheck", "sentence", models.TextField(default="")),
        migrations.RemoveField("clearancecheck", "sentence"),
    ]
