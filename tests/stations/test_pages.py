"""What every page of keepers promises: labels, described hints and complaints, and nothing that needs a script."""

from html.parser import HTMLParser

import pytest
from django.test import Client
from django.urls import reverse

from stations.models import Invitation
from tests.stations.test_permissions import addresses

INPUTS = {"input", "select", "textarea"}


class Page(HTMLParser):
    """What the checks ask about a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def inputs(self):
        """Inputs a person fills in."""
        return [a for tag, a in self.tags if tag in INPUTS and a.get("type") not in ("hidden", "submit")]

    def values(self, name: str) -> set[str]:
        """All values of an attribute."""
        return {attributes[name] for _, attributes in self.tags if attributes.get(name)}


@pytest.fixture
def pages(homes, keeper) -> dict[str, Page]:
    """Every page, the empty forms' complaints included."""
    _, secret = Invitation.issue(homes.household)
    found = {}
    for address in [*addresses(homes), *map(reverse, ("my-stations", "register", "invite", "password"))]:
        if not address.endswith("state"):
            found[address] = Page(keeper.get(address).content.decode())
    for name in ("register-place", "register-name"):
        complaint = keeper.post(reverse(name, args=[homes.station.pk]), {})
        found[f"{name}, empty"] = Page(complaint.content.decode())
    for address in (reverse("sign-in"), reverse("password-forgotten"), reverse("join", args=[secret])):
        found[address] = Page(Client().get(address).content.decode())
    return found


def test_every_input_has_a_label(pages):
    for address, page in pages.items():
        labelled = page.values("for")
        assert not [each for each in page.inputs() if each.get("id") not in labelled], address


def test_what_describes_an_input_is_on_the_page(pages):
    for address, page in pages.items():
        described = {name for value in page.values("aria-describedby") for name in value.split()}
        assert described <= page.values("id"), address


def test_no_page_carries_style_or_script_of_its_own(pages):
    for address, page in pages.items():
        assert not page.values("style"), address
        assert not [a for tag, a in page.tags if tag == "script" and "src" not in a], address
        assert not [name for _, a in page.tags for name in a if name.startswith("on")], address


def test_each_form_can_be_sent_without_a_script(pages):
    for address, page in pages.items():
        forms = sum(tag == "form" for tag, _ in page.tags)
        assert sum(tag == "button" for tag, _ in page.tags) >= forms, address


def test_names_and_passwords_tell_the_browser_what_they_are(pages):
    sign_in = pages[reverse("sign-in")]
    assert {each.get("autocomplete") for each in sign_in.inputs()} == {"username", "current-password"}
    join = next(page for address, page in pages.items() if address.startswith("/join/"))
    assert [each.get("autocomplete") for each in join.inputs()] == [
        "username",
        "email",
        "new-password",
        "new-password",
    ]


def test_cautions_stand_where_people_climb_and_wire(homes, keeper):
    add = [
        reverse("register-instrument-add", args=[homes.station.pk, name])
        for name in ("wind_speed", "battery_voltage")
    ]
    wind, battery = (keeper.get(address).content.decode() for address in add)
    for word in ("ladder", "power line", "thunder", "licensed"):
        assert word in wind
    assert "charger" in battery and "licensed electrician" in battery


def test_my_stations_asks_the_same_number_of_questions_however_many_there_are(
    homes, keeper, django_assert_max_num_queries
):
    from stations.models import Station

    for number in range(8):
        Station.objects.create(household=homes.household, name=f"Station {number}")
    with django_assert_max_num_queries(16):
        keeper.get(reverse("my-stations"))
