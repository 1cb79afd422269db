"""Photographs of comebacks lose what cameras wrote beside them: place, time, owner."""

from django.core.files.base import ContentFile
from django.db import migrations

from shop.values.photos import NoPhoto, photo_freed


def free_photos(apps, schema_editor):
    """Draw each anew. One that is gone, or that is no picture, stays as it is: it is not served."""
    for comeback in apps.get_model("shop", "Comeback").objects.exclude(photo=""):
        storage, old = comeback.photo.storage, comeback.photo.name
        try:
            with storage.open(old) as content:
                freed = photo_freed(content.read())
        except (NoPhoto, FileNotFoundError):
            continue
        stem = old.rpartition(".")[0]
        comeback.photo.name = storage.save(
            f"{stem}-freed.{freed.kind.extension}", ContentFile(freed.content)
        )
        comeback.save(update_fields=["photo"])
        storage.delete(old)


class Migration(migrations.Migration):
    dependencies = [("shop", "0016_files")]

    operations = [migrations.RunPython(free_photos, migrations.RunPython.noop)]
