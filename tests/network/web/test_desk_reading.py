"""One reading at the desk: what each check saw, and why the verdict follows."""

import pytest
from django.urls import reverse

from tests.network.pipeline import doubted
from tests.network.pipeline.doubted import doubted_village, steward_of, the_mill

AT = int(doubted.TIMES[60])


@pytest.mark.django_db
def test_a_steward_reads_what_each_check_saw_and_why_the_verdict_follows(client):
    village = doubted_village(doubted.reads_high)
    client.force_login(steward_of(village))
    address = reverse("reading", args=[village.slug])
    answer = client.get(address, {"station": the_mill().pk, "variable": "air_temperature", "at": AT})
    words = answer.content.decode()
    for said in ("observed", "expected", "tolerance", "strain", "departure", "is content", "speaks"):
        assert said in words
    assert "Each family of checks counts once, by its weightiest: " in words
    assert "from 2 on wrong: wrong." in words
    assert f"at={AT - 600}" in words
    quiet = client.get(address, {"station": the_mill().pk, "variable": "wind_speed", "at": AT})
    assert "has no reading of its wind speed" in quiet.content.decode()


@pytest.mark.django_db
@pytest.mark.parametrize(
    "asked", [{}, {"station": "x"}, {"station": "1", "variable": "love"}, {"station": "9" * 30}]
)
def test_what_is_not_there_is_not_found(client, asked):
    village = doubted_village(lambda said: said, stations=2)
    client.force_login(steward_of(village))
    assert client.get(reverse("reading", args=[village.slug]), asked).status_code == 404
