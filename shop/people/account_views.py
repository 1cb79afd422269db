"""Signing in and out, and one's own password."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.contrib.auth import views as auth_views
from django.contrib.auth.forms import AuthenticationForm
from django.http import HttpResponse
from django.urls import reverse_lazy


class SignInForm(AuthenticationForm):
    """Name and password; the refusal does not tell which of the two was wrong."""

    error_messages = {
        "invalid_login": "That name and password do not belong together. Both are case-sensitive.",
        "inactive": "This account is switched off. A manager can switch it on again.",
    }


class SignIn(auth_views.LoginView):
    template_name = "accounts/login.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True


class SignOut(auth_views.LogoutView):
    http_method_names = ["post", "options"]


class ChangePassword(auth_views.PasswordChangeView):
    template_name = "accounts/password.html"
    success_url = reverse_lazy("home")

    def form_valid(self, form: forms.BaseForm) -> HttpResponse:
        messages.success(self.request, "Your password was changed.")
        return super().form_valid(form)
