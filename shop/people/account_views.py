"""Signing in and out, and one's own account: language and password."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib import messages
from django.contrib.auth import views as auth_views
from django.contrib.auth.forms import (
    AuthenticationForm,
    PasswordChangeForm,
    PasswordResetForm,
    SetPasswordForm,
)
from django.core.validators import MaxLengthValidator
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, override
from django.views.decorators.http import require_http_methods

from shop.models import User
from shop.models.texts import language_choices
from shop.outbox.services.passwords import password_mail_queue
from shop.outbox.services.server import has_server
from shop.site.fields import field_of
from shop.site.joining import JoinedModelForm
from shop.site.reader import reader_language
from shop.site.view_helpers import StaffRequest, posted, render_page, role_required


class SignInForm(AuthenticationForm):
    """Name and password; the refusal does not tell which of the two was wrong."""

    error_messages = {
        "invalid_login": gettext_lazy("Wrong user name or password. Both are case-sensitive."),
        "inactive": gettext_lazy("This account is disabled. A manager can enable it."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """A name longer than any user's is refused before it is looked up."""
        super().__init__(*args, **kwargs)
        field = field_of(self, "username", forms.CharField)
        field.validators.append(MaxLengthValidator(field.max_length or 150))


class SignIn(auth_views.LoginView):
    template_name = "accounts/login.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        return super().get_context_data(**kwargs, has_server=has_server())


class ForgottenForm(PasswordResetForm):
    """Asks for an address; the answer does not tell whether it belongs to an account."""

    def send_mail(
        self,
        subject_template_name: str,
        email_template_name: str,
        context: dict[str, Any],
        from_email: str | None,
        to_email: str,
        html_email_template_name: str | None = None,
    ) -> None:
        password_mail_queue(
            user=context["user"], to=to_email, uid=context["uid"], token=context["token"]
        )


class Forgotten(auth_views.PasswordResetView):
    """A new password by email, for shops with a mail server."""

    template_name = "accounts/forgotten.html"
    form_class = ForgottenForm
    success_url = reverse_lazy("password_reset_sent")

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        return super().get_context_data(**kwargs, has_server=has_server())

    def form_valid(self, form: PasswordResetForm) -> HttpResponse:
        if not has_server():
            form.add_error(None, _("No mail server is set. Ask a manager for a new password."))
            return self.form_invalid(form)
        return super().form_valid(form)


class NewPassword(auth_views.PasswordResetConfirmView):
    """Where the link of the email leads."""

    template_name = "accounts/new_password.html"
    success_url = reverse_lazy("login")

    def form_valid(self, form: SetPasswordForm[User]) -> HttpResponse:
        messages.success(self.request, _("Your password was changed."))
        return super().form_valid(form)


class SignOut(auth_views.LogoutView):
    http_method_names = ["post", "options"]


class AccountForm(JoinedModelForm[User]):
    """What a user chooses for themselves."""

    BROWSER = "browser"
    language = forms.TypedChoiceField(
        label=gettext_lazy("Language"), help_text=gettext_lazy("Language of your pages")
    )

    class Meta:
        model = User
        fields = ("language",)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = field_of(self, "language", forms.TypedChoiceField)
        field.choices = [(self.BROWSER, _("as the browser requests")), *language_choices()]
        field.coerce = lambda chosen: "" if chosen == self.BROWSER else chosen
        self.initial["language"] = self.instance.language or self.BROWSER


@role_required()
@require_http_methods(["GET", "POST"])
def account(request: StaffRequest) -> HttpResponse:
    """One's own account: the language of the pages, and the way to a new password."""
    form = AccountForm(posted(request), instance=User.objects.get(pk=request.user.pk))
    if request.method == "POST" and form.is_valid():
        request.user = form.save()
        with override(reader_language(request)):
            messages.success(request, _("Saved."))
        return redirect("account")
    return render_page(request, "accounts/account.html", {"form": form})


class ChangePassword(auth_views.PasswordChangeView):
    template_name = "accounts/password.html"
    success_url = reverse_lazy("account")

    def form_valid(self, form: PasswordChangeForm) -> HttpResponse:
        messages.success(self.request, _("Your password was changed."))
        return super().form_valid(form)
