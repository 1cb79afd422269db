"""Django's forms of models with the model as a type argument: ``ModelForm[Customer]``.

The type stubs want the argument, and Django's own classes take none when the program runs.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from django.forms import BaseModelFormSet as BaseModelFormSet
    from django.forms import ModelChoiceField as ModelChoiceField
    from django.forms import ModelForm as ModelForm
else:
    from django import forms

    class _Typed:
        """A class that its type arguments leave as it is."""

        def __class_getitem__(cls, argument: object) -> type:
            return cls

    class ModelForm(_Typed, forms.ModelForm):
        pass

    class BaseModelFormSet(_Typed, forms.BaseModelFormSet):
        pass

    class ModelChoiceField(_Typed, forms.ModelChoiceField):
        pass
