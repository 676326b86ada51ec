"""Asking somebody in, and opening an account."""

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm, BaseUserCreationForm
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError

from stations.forms.fields import Address, Words
from stations.forms.passwords import ADVICE, MISMATCH
from stations.models import Household, Membership, Village


class SignInForm(AuthenticationForm):
    """Name and password."""

    error_messages = {
        "invalid_login": "This name and password do not belong together. Small and capital letters differ.",
        "inactive": "This account has been closed. Ask the steward of your village.",
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "Name"


class JoinForm(BaseUserCreationForm):
    """A name and a password for a new account."""

    error_messages = BaseUserCreationForm.error_messages | {"password_mismatch": MISMATCH}

    email = Address(
        required=False,
        label="E-mail",
        help_text="For notices about your station, and if you forget your password. You may leave it empty.",
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
    )

    class Meta(BaseUserCreationForm.Meta):
        model = User
        fields = ["username", "email"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        name = self.fields["username"]
        name.label, name.help_text = "Name to sign in with", "Letters, figures and . _ - without spaces."
        name.error_messages["invalid"] = "Use letters, figures and . _ - without spaces, such as nina.brook."
        name.error_messages["unique"] = "Somebody has this name already: choose another."
        self.fields["password1"].help_text = ADVICE
        self.fields["password2"].label = "The password once more"
        self.fields["password2"].help_text = ""


class InviteForm(forms.Form):
    """Whom to ask into which household."""

    household = forms.ModelChoiceField(
        Household.objects.none(), required=False, label="Into which household?", empty_label=None
    )
    new_household = Words(
        max_length=80,
        required=False,
        label="Or into a new household",
        help_text="Its name, such as Mill End. Leave it empty for the one chosen above.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    role = forms.ChoiceField(
        choices=[
            (Membership.Role.KEEPER, "A keeper: looks after this household's stations"),
            (Membership.Role.STEWARD, "A steward: approves stations and decides for the whole village"),
        ],
        initial=Membership.Role.KEEPER,
        widget=forms.RadioSelect,
        label="As what?",
    )
    email = Address(
        required=False,
        label="E-mail of whom you invite",
        help_text="The link is sent there. Leave it empty to pass the link on yourself.",
        widget=forms.EmailInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *args: Any, person: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.stewarded = Village.objects.filter(
            households__memberships__in=person.memberships.filter(role=Membership.Role.STEWARD)
        ).distinct()
        households = Household.objects.kept_by(person)
        self.fields["household"].queryset = households
        self.fields["household"].initial = households.filter(memberships__person=person).first()
        if not self.stewarded:
            del self.fields["new_household"], self.fields["role"]
        elif len(self.stewarded) > 1:
            self.fields["village"] = forms.ModelChoiceField(
                self.stewarded,
                required=False,
                label="In which village is the new household?",
                empty_label=None,
            )
        if len(households) == 1 and not self.stewarded:
            self.fields["household"].widget = forms.HiddenInput()

    def clean(self) -> dict[str, Any]:
        said = super().clean()
        chosen = said.get("household")
        if said.get("new_household"):
            village = said.get("village") or self.stewarded.first()
            self.place = Household(village=village, name=said["new_household"])
            self._check_new()
        elif chosen is None and not self.errors:
            self.add_error("household", "Choose a household, or name a new one.")
        else:
            self.place = chosen
        if said.get("role") == Membership.Role.STEWARD and chosen and not said.get("new_household"):
            self._check_steward(chosen)
        return said

    def _check_new(self) -> None:
        try:
            self.place.full_clean()
        except ValidationError as problem:
            self.add_error("new_household", problem.messages)

    def _check_steward(self, household: Household) -> None:
        if household.village not in self.stewarded:
            self.add_error("role", "Only a steward of that village may ask in another steward.")
