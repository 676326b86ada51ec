"""Fields for a number: people write it as they are used to, and nothing they typed is lost."""

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from stations.forms.fields import Figure
from stations.models import Placement


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("47.311", 47.311), ("47,311", 47.311), (" -3,5 ", -3.5), ("\N{MINUS SIGN}3.5", -3.5)],
)
def test_a_decimal_comma_and_a_typeset_minus_are_understood(typed, meant):
    assert Figure().clean(typed) == meant


@pytest.mark.parametrize("typed", ["470 m", "47.311° N", "1.234,5", "high", "nan", "1e999"])
def test_what_is_no_number_alone_is_told(typed):
    with pytest.raises(ValidationError, match="Write a number"):
        Figure().clean(typed)


def test_what_cannot_be_read_still_stands_in_its_field_and_changes_nothing(homes, keeper):
    said = {"latitude": "47,315 N", "longitude": "8,92", "elevation": "high", "shown": "exact"}
    page = keeper.post(reverse("register-place", args=[homes.station.pk]), said).content.decode()
    for typed in ("47,315 N", "8,92", "high"):
        assert f'value="{typed}"' in page
    # HTML: a number field shows nothing of a value that is no valid floating-point number, such as one with a comma.
    assert 'type="number"' not in page
    assert Placement.objects.get(station=homes.station).latitude == 47.31


def test_only_where_nothing_is_below_zero_a_telephone_shows_its_pad_of_figures():
    assert "inputmode" not in Figure().widget.attrs
    assert Figure(min_value=0).widget.attrs["inputmode"] == "decimal"
    assert Figure(signed=False).widget.attrs["inputmode"] == "decimal"
