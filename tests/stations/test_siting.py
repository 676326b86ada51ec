"""Describing the surroundings question by question, and the class that follows from the answers."""

import re

import pytest
from django.urls import reverse

from stations import history
from stations.models import Instrument, Placement, SitingDraft, SitingNote
from tests.stations.conftest import SINCE

WARMTH = {
    "height": {"height": "1.6", "shield": "screen"},
    "ground": {"ground": "short"},
    "slope": {"slope": "level"},
    "near": {"wall": "12", "paving": "15"},
    "cover": {},
    "around": {},
    "shade": {"shade": "5"},
}


@pytest.fixture
def ask(homes, keeper):
    """Answer a question about the thermometer's surroundings; the page that follows."""

    def answered(question, said, variable="air_temperature"):
        where = [homes.station.pk, variable, question]
        return keeper.post(reverse("register-siting-question", args=where), said, follow=True)

    return answered


def write(homes, client, variable="air_temperature", words=""):
    return client.post(
        reverse("register-siting-note", args=[homes.station.pk, variable]), {"words": words}, follow=True
    )


def test_from_the_answers_follows_the_class_of_the_published_table(homes, keeper, ask):
    for question, said in WARMTH.items():
        page = ask(question, said)
    # WMO-No. 8, volume I, annex 1.D (read second-hand): the nearest wall beyond 10 m and within 30 m is class 3.
    assert "Class 3 of 5" in page.content.decode()
    write(homes, keeper)
    note = SitingNote.objects.get(variable="air_temperature")
    assert (note.siting_class, note.written_by.username) == (3, "kay")
    assert note.answers["near"] == {"wall": 12.0, "paving": 15.0}
    assert not SitingDraft.objects.exists()


def test_each_answer_is_kept_and_the_next_question_follows(homes, keeper, ask):
    page = ask("height", WARMTH["height"])
    assert page.request["PATH_INFO"].endswith("/ground/")
    back = reverse("register-siting-question", args=[homes.station.pk, "air_temperature", "height"])
    assert 'value="1.6"' in keeper.get(back).content.decode()
    assert not SitingNote.objects.exists()
    index = keeper.get(reverse("register-siting", args=[homes.station.pk])).content.decode()
    assert "Answers are waiting" in index


def test_the_class_is_worked_out_while_typing_and_nothing_is_kept(homes, keeper):
    where = [homes.station.pk, "air_temperature", "ground"]
    said = {"ground": "stone", "preview": "1"}
    answer = keeper.post(reverse("register-siting-question", args=where), said)
    assert "Class 4 of 5 at best" in answer.content.decode()
    assert "<html" not in answer.content.decode()
    assert not SitingDraft.objects.exists()


def test_why_and_the_one_change_that_gains_most_are_told(homes, keeper, ask):
    for question, said in (WARMTH | {"ground": {"ground": "tall"}}).items():
        page = ask(question, said)
    told = page.content.decode()
    assert "What would gain most:</strong> Keep the grass around it below 10 cm. It would be class 3" in told
    assert "holds damp air" in told


def test_where_nothing_warm_is_near_its_share_is_not_asked(ask):
    page = ask("near", {})
    assert page.request["PATH_INFO"].endswith("/around/")


def test_half_a_direction_is_asked_for(ask):
    page = ask("around", {"south_kind": "wall", "south_distance": "8"})
    assert "Write both figures for the south" in page.content.decode()
    page = ask("around", {"south_kind": "wall"})
    assert "How far is it, and how high, in the south?" in page.content.decode()


def test_what_stands_around_one_instrument_is_offered_for_the_next(homes, keeper, ask):
    history.fit(homes.station, {"variable": "rain_amount"}, {"name": "rain", "unit": "mm"}, SINCE)
    ask("around", {"south_kind": "tree", "south_distance": "4", "south_height": "6"})
    where = reverse("register-siting-question", args=[homes.station.pk, "rain_amount", "around"])
    told = keeper.get(where).content.decode()
    assert "known from elsewhere on this station" in told
    assert 'name="south_height" value="6.0"' in told


def test_what_is_known_of_the_instrument_is_offered_when_its_height_is_asked(homes, keeper):
    Instrument.objects.filter(variable="air_temperature").update(height=1.5, shield="louvred screen")
    where = reverse("register-siting-question", args=[homes.station.pk, "air_temperature", "height"])
    told = keeper.get(where).content.decode()
    assert 'name="height" value="1.5"' in told
    assert re.search(r'value="screen"[^>]* checked', told)


def test_a_hygrometer_beside_the_thermometer_gets_the_same_note(homes, keeper, ask):
    history.fit(homes.station, {"variable": "relative_humidity"}, {"name": "hum", "unit": "%"}, SINCE)
    for question, said in WARMTH.items():
        ask(question, said)
    write(homes, keeper, words="Short grass.")
    notes = SitingNote.objects.values_list("variable", "siting_class", "words")
    assert sorted(notes) == [("air_temperature", 3, "Short grass."), ("relative_humidity", 3, "Short grass.")]


def test_a_height_that_nobody_had_noted_is_noted_with_the_instrument(homes, keeper, ask):
    ask("height", {"height": "1.6"})
    write(homes, keeper)
    homes.thermometer.instrument.refresh_from_db()
    assert homes.thermometer.instrument.height == 1.6


def test_notes_are_a_log(homes, keeper, ask):
    for question, said in WARMTH.items():
        ask(question, said)
    write(homes, keeper, words="A wall.")
    ask("near", {})
    write(homes, keeper, words="The wall is gone.")
    notes = SitingNote.objects.order_by("written_at").values_list("siting_class", "words")
    assert list(notes) == [(3, "A wall."), (1, "The wall is gone.")]
    page = keeper.get(reverse("register-siting-note", args=[homes.station.pk, "air_temperature"]))
    assert "Class 3. A wall." in page.content.decode()


def test_a_class_that_a_surveyor_gave_stays_while_only_words_are_added(homes, keeper):
    placement = homes.station.placements.get()
    SitingNote.objects.create(
        placement=placement, variable="air_temperature", siting_class=4, written_at=SINCE
    )
    write(homes, keeper, words="Painted white.")
    assert SitingNote.objects.get(words="Painted white.").siting_class == 4


def test_a_station_that_moved_is_described_anew(homes, keeper, ask):
    homes.live()
    ask("ground", {"ground": "short"})
    write(homes, keeper)
    history.place(homes.station, SINCE.replace(month=4), latitude=47.315, longitude=8.92, elevation=450.0)
    index = keeper.get(reverse("register-siting", args=[homes.station.pk])).content.decode()
    assert "not described yet" in index
    former, present = Placement.objects.filter(station=homes.station)
    assert (former.siting_notes.count(), present.siting_notes.count()) == (1, 0)


def test_an_unknown_question_is_not_found(homes, keeper):
    for variable, question in (("air_temperature", "mast"), ("rain_amount", "rim")):
        where = reverse("register-siting-question", args=[homes.station.pk, variable, question])
        assert keeper.get(where).status_code == 404
