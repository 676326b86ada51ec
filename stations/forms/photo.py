"""A photo of the place: the file, where it looks, what is on it, and who may see it."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from network.science.siting import DIRECTIONS
from stations.forms.fields import Words
from stations.models import Station
from stations.photos import LARGEST, Picture, WrongPicture, cleaned


class PhotoForm(forms.Form):
    """One photo. ``picture`` is what is kept of it."""

    file = forms.FileField(
        label="The photo",
        help_text=f"A JPEG, PNG or WebP of up to {LARGEST // 2**20} MB. Place, time and camera are taken out of it.",
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
        error_messages={"required": "Choose a photo.", "empty": "The file is empty: choose another."},
    )
    words = Words(
        max_length=200,
        label="What is on it?",
        help_text="For those who cannot see it, such as: the screen on its post, the house behind.",
    )
    towards = forms.ChoiceField(
        label="Which way does it look?",
        required=False,
        choices=[("", "not one direction"), *((name, name) for name in DIRECTIONS)],
    )
    shown = forms.BooleanField(
        label="Others may see it, though the place is not shown exactly",
        help_text="A photo can give a place away: look for a house number, a name, a face.",
        required=False,
    )

    def __init__(self, *args: Any, station: Station, **options: Any) -> None:
        super().__init__(*args, **options)
        if station.shown == Station.Shown.EXACT:
            del self.fields["shown"]

    def clean_file(self) -> Picture:
        file = self.cleaned_data["file"]
        if file.size > LARGEST:
            raise ValidationError(f"The file has more than {LARGEST // 2**20} MB. Make it smaller first.")
        try:
            return cleaned(file.read())
        except WrongPicture as wrong:
            raise ValidationError(str(wrong)) from wrong
