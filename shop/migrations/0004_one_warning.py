"""Keep the warning of a quote once: as the customer read it, which is what they signed."""

from typing import Any, ClassVar

from django.db import migrations


def keep_what_was_read(apps: Any, _: Any) -> None:
    """Put the customer's words in place of the shop's, on the quote and in what was signed."""
    signed = apps.get_model("shop", "Authorisation").objects
    for quote in apps.get_model("shop", "Quote").objects.all():
        said = quote.document.get("content", quote.document).get("warning_said")
        if said:
            same = signed.filter(quote=quote, signed_sentence=quote.gate_warning)
            same.update(signed_sentence=said)
            quote.gate_warning = said
            quote.save(update_fields=["gate_warning"])


class Migration(migrations.Migration):
    dependencies: ClassVar = [("shop", "0003_languages")]
    operations: ClassVar = [migrations.RunPython(keep_what_was_read, migrations.RunPython.noop)]
