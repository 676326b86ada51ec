"""What is asked before something that cannot be taken back: the password, so that an open browser is not enough."""

from typing import Any

from django import forms
from django.contrib.auth import authenticate
from django.core.exceptions import ValidationError
from django.http import HttpRequest

from stations.forms.fields import Address, Choice


class ProvingForm(forms.Form):
    """The reader's password. Wrong ones count towards being locked out, as at the sign-in."""

    password = forms.CharField(
        label="Your password",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
        error_messages={"required": "Write your password."},
    )

    def __init__(self, *args: Any, request: HttpRequest, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.request = request
        self.order_fields([name for name in self.fields if name != "password"] + ["password"])

    def clean_password(self) -> str:
        password = self.cleaned_data["password"]
        person = authenticate(self.request, username=self.request.user.get_username(), password=password)
        if person != self.request.user:
            raise ValidationError("That is not your password. Small and capital letters differ.")
        return password


class EmailForm(ProvingForm):
    """Where notices and links for a new password go."""

    email = Address(
        required=False,
        label="E-mail",
        help_text="Notices about your stations go there, and a link if you forget your password. "
        "Leave it empty to get neither.",
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
    )


class CloseForm(ProvingForm):
    """Closing one's account; whoever is the last of a household says what becomes of its stations' places."""

    places = Choice(
        choices=[
            ("kept", "They stay with the record, shown to others as they are now."),
            ("deleted", "They are deleted, and the stations retired: nothing can be drawn without a place."),
        ],
        initial="kept",
    )

    def __init__(self, *args: Any, alone_in: list[str], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        names = " and ".join(alone_in)
        self.fields["places"].label = f"What becomes of the places, photos and siting notes of {names}?"
        if not alone_in:
            del self.fields["places"]

    @property
    def erasing(self) -> bool:
        """Whether the places are to be deleted."""
        return self.cleaned_data.get("places") == "deleted"
