"""Choosing a password, changing it, and having a link sent for a forgotten one."""

from typing import Any

from django import forms
from django.contrib.auth.forms import PasswordChangeForm, PasswordResetForm, SetPasswordForm

from stations.forms.fields import Address

ADVICE = "Ten characters or more; three or four words are easy to remember."
MISMATCH = "The two are not the same: write the same password twice."


class NewPasswordForm(SetPasswordForm):
    """A new password, twice."""

    error_messages = SetPasswordForm.error_messages | {"password_mismatch": MISMATCH}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        name_twice(self, "new_password1", "new_password2")


class ChangePasswordForm(PasswordChangeForm):
    """The password until now, and a new one, twice."""

    error_messages = PasswordChangeForm.error_messages | {
        "password_mismatch": MISMATCH,
        "password_incorrect": "That is not your password. Small and capital letters differ.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["old_password"].label = "Your password until now"
        name_twice(self, "new_password1", "new_password2")


class ForgottenForm(PasswordResetForm):
    """Where the link goes."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["email"].label = "E-mail"
        self.fields["email"].error_messages |= Address.default_error_messages


def name_twice(form: forms.BaseForm, first: str, second: str) -> None:
    """What the two fields of a new password say."""
    form.fields[first].label, form.fields[first].help_text = "New password", ADVICE
    form.fields[second].label, form.fields[second].help_text = "The new password once more", ""
