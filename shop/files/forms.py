"""Files to add, and what is said of one."""

from __future__ import annotations

from typing import Any, ClassVar

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.files.data import Incoming
from shop.files.services import LARGEST_BYTES, MOST_AT_ONCE, file_read
from shop.models import StoredFile
from shop.site.joining import JoinedModelForm
from shop.values import photos

MEGABYTE = 1024 * 1024
PHOTOS = "image/jpeg,image/png,image/webp"


class SeveralFiles(forms.ClearableFileInput):
    allow_multiple_selected = True


class FilesField(forms.FileField):
    """Any number of uploads; what they are is looked at by the form."""

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile[Any]]:
        uploads = data if isinstance(data, list | tuple) else [data]
        return [super(FilesField, self).clean(one, initial) for one in uploads if one]


class FilesForm(forms.Form):
    """Photographs by the camera, files from the device, and one caption for all of them.

    Those that can be kept are kept, also where others are refused: a browser does not send
    files a second time by itself. ``incoming`` are those, ``refused`` a sentence for each other.
    """

    photos = FilesField(
        label=gettext_lazy("Take photos"),
        required=False,
        widget=SeveralFiles(attrs={"accept": PHOTOS, "capture": "environment"}),
    )
    chosen = FilesField(
        label=gettext_lazy("Choose photos or files"),
        required=False,
        widget=SeveralFiles(attrs={"accept": f"{PHOTOS},application/pdf,text/plain,.txt,.csv"}),
    )
    caption = forms.CharField(label=gettext_lazy("Caption"), required=False, max_length=200)
    for_customer = forms.BooleanField(
        label=gettext_lazy("Show on the customer's page"), required=False
    )

    def __init__(self, *args: Any, of_order: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.incoming: list[Incoming] = []
        self.refused: list[str] = []
        self.fields["chosen"].help_text = _(
            "JPEG, PNG or WebP up to {photo} MB, PDF or text up to {file} MB, {count} at once. "
            "Photos are kept without place and time of the camera."
        ).format(
            photo=photos.LARGEST_BYTES // MEGABYTE,
            file=LARGEST_BYTES // MEGABYTE,
            count=MOST_AT_ONCE,
        )
        if not of_order:
            del self.fields["for_customer"]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        uploads = [*data.get("photos", []), *data.get("chosen", [])]
        if not uploads and not self.errors:
            self.add_error("chosen", _("Choose at least one photo or file."))
        if len(uploads) > MOST_AT_ONCE:
            words = _("{count} files at most. Send the others afterwards.")
            self.add_error("chosen", words.format(count=MOST_AT_ONCE))
            return data
        for upload in uploads:
            try:
                self.incoming.append(file_read(upload))
            except forms.ValidationError as error:
                self.refused += error.messages
        if self.refused and not self.incoming:
            self.add_error("chosen", forms.ValidationError(self.refused))
        return data


class FileForm(JoinedModelForm[StoredFile]):
    class Meta:
        model = StoredFile
        fields: ClassVar = ["caption", "for_customer"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.order_id is None:
            del self.fields["for_customer"]
