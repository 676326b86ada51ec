"""Signing in, and the password: changed, forgotten, chosen anew. Each step says that it was done."""

from django.conf import settings
from django.contrib.auth import views
from django.contrib.messages.views import SuccessMessageMixin
from django.urls import reverse_lazy

from stations.forms import SignInForm
from stations.forms.passwords import ChangePasswordForm, ForgottenForm, NewPasswordForm


class SignIn(views.LoginView):
    template_name = "stations/sign_in.html"
    authentication_form = SignInForm


class Change(SuccessMessageMixin, views.PasswordChangeView):
    form_class = ChangePasswordForm
    template_name = "stations/password.html"
    success_url = reverse_lazy("account")
    success_message = "Your password is changed."


class Forgotten(views.PasswordResetView):
    form_class = ForgottenForm
    template_name = "stations/password_forgotten.html"
    email_template_name = "stations/letters/password.txt"
    subject_template_name = "stations/letters/password_subject.txt"
    extra_email_context = {"site": settings.SITE_URL}  # not the address that the reader's browser claims
    success_url = reverse_lazy("password-sent")


class Sent(views.PasswordResetDoneView):
    template_name = "stations/password_sent.html"


class New(SuccessMessageMixin, views.PasswordResetConfirmView):
    form_class = NewPasswordForm
    template_name = "stations/password_new.html"
    success_url = reverse_lazy("sign-in")
    success_message = "Your new password is kept. Sign in with it."
