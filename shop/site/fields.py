"""Fields that take what people type."""

from __future__ import annotations

from decimal import Decimal
from email.utils import parseaddr
from typing import Any, ClassVar, TypeVar

from django import forms
from django.core.files.uploadedfile import SimpleUploadedFile, UploadedFile
from django.core.validators import EmailValidator
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.values.photos import LARGEST_BYTES, MOST_PIXELS, NoPhoto, Photo, photo_freed
from shop.values.vin import vin_clean

Kind = TypeVar("Kind", bound=forms.Field)


def field_of(form: forms.BaseForm, name: str, kind: type[Kind]) -> Kind:
    """A form's field as what it is; raises TypeError for another kind of field."""
    field = form.fields[name]
    if not isinstance(field, kind):
        raise TypeError(f"{name} is a {type(field).__name__}, not a {kind.__name__}")
    return field


class CommaDecimalField(forms.DecimalField):
    """A decimal number with a point or a comma: ``12.5``, ``12,5``, ``1 234,50``."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal"}))
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> Decimal | None:  # type: ignore[override]  # the stubs say int
        if isinstance(value, str):
            value = "".join(value.split())
            if value.count(",") == 1 and "." not in value:
                value = value.replace(",", ".")
        return super().to_python(value)


class CommaFloatField(forms.FloatField):
    """As CommaDecimalField, for measured lengths; a minus sign of any kind is understood."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal"}))
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> float | None:  # type: ignore[override]  # the stubs say int
        if isinstance(value, str):
            value = "".join(value.split()).replace("−", "-").removesuffix("mm")
            if value.count(",") == 1 and "." not in value:
                value = value.replace(",", ".")
        return super().to_python(value)


class AddressField(forms.EmailField):
    """An email address; one copied with its name, ``Nadir Quell <nadir@example.org>``, too."""

    default_error_messages: ClassVar = {
        "invalid": gettext_lazy("Enter an email address, for example name@example.org.")
    }

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "email"}))
        super().__init__(**kwargs)
        self.validators = [one for one in self.validators if not isinstance(one, EmailValidator)]
        self.validators.append(EmailValidator(self.default_error_messages["invalid"]))

    def to_python(self, value: Any) -> str:
        typed = str(super().to_python(value) or "").removeprefix("mailto:")
        return parseaddr(typed)[1] or typed


class VinField(forms.CharField):
    """A VIN in capitals without the gaps that people leave; never refused for its check digit."""

    def to_python(self, value: Any) -> str:
        return vin_clean(super().to_python(value) or "")


class PhotoField(forms.FileField):
    """A picture told by its bytes and drawn anew: what a camera writes beside it is not kept."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault(
            "widget", forms.ClearableFileInput(attrs={"accept": "image/jpeg,image/png,image/webp"})
        )
        super().__init__(**kwargs)

    def clean(self, data: Any, initial: Any = None) -> Any:
        upload = super().clean(data, initial)
        if not upload or upload is initial:
            return upload
        photo = photo_of(upload)
        return SimpleUploadedFile(
            f"photo.{photo.kind.extension}", photo.content, photo.kind.content_type
        )


def photo_of(upload: UploadedFile[Any]) -> Photo:
    """The picture of an upload, drawn anew. Raises ValidationError with the reason."""
    if (upload.size or 0) > LARGEST_BYTES:
        megabytes = LARGEST_BYTES // (1024 * 1024)
        raise forms.ValidationError(
            _("The picture is larger than {megabytes} MB.").format(megabytes=megabytes)
        )
    upload.seek(0)
    try:
        return photo_freed(upload.read())
    except NoPhoto as error:
        words = {
            NoPhoto.UNKNOWN: _("Not a JPEG, PNG or WebP picture."),
            NoPhoto.BROKEN: _("The picture is damaged and cannot be opened."),
            NoPhoto.TOO_LARGE: _("The picture has more than {count} million pixels.").format(
                count=MOST_PIXELS // 1_000_000
            ),
        }
        raise forms.ValidationError(words[error.reason]) from error


class DateInput(forms.DateInput):
    input_type = "date"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%Y-%m-%d", **kwargs)


class TimeInput(forms.TimeInput):
    input_type = "time"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(format="%H:%M", **kwargs)
