"""Registering a station, one question a page, as a household does it."""

import pytest
from django.urls import reverse

from network.models import Report, Work
from stations.models import Calibration, Channel, Clock, Placement, Station

PLACE = {"latitude": "47,31500", "longitude": "8.92", "elevation": "455", "shown": "rounded"}
SINCE = "2026-04-01T08:00"
THERMOMETER = {"name": "temp", "unit": "[degF]", "range_low": "-40", "range_high": "60", "accuracy": "0.4"}


def ask(client, question, /, *where, **said):
    """Answer a question; the page that follows, or the same one with its complaints."""
    return client.post(reverse(question, args=where), said, follow=True)


@pytest.fixture
def station(homes, keeper) -> Station:
    ask(keeper, "register", name="Gate", household=homes.household.pk)
    return Station.objects.get(name="Gate")


def test_each_answer_is_kept_and_leads_to_the_next_question(homes, keeper, station):
    page = ask(keeper, "register-place", station.pk, since=SINCE, **PLACE)
    assert page.request["PATH_INFO"] == reverse("register-instruments", args=[station.pk])
    place = Placement.objects.get(station=station)
    assert (place.latitude, place.longitude, place.elevation) == (
        47.315,
        8.92,
        455.0,
    )  # a comma is understood
    # The village keeps summer time then, two hours ahead of UTC.
    assert place.begins_at.isoformat() == "2026-04-01T06:00:00+00:00"


def test_figures_are_typed_in_the_shown_unit_and_kept_in_the_canonical_one(keeper, station):
    ask(keeper, "register-instrument-add", station.pk, "air_temperature", **THERMOMETER)
    channel = Channel.objects.get(station=station)
    # 0 °C is 273.15 K (SI Brochure); a difference of one degree Celsius is one kelvin.
    assert (channel.instrument.range_low, channel.instrument.range_high) == (233.15, 333.15)
    assert (channel.instrument.accuracy, channel.unit) == (0.4, "[degF]")
    page = keeper.get(reverse("register-instrument", args=[station.pk, channel.pk])).content.decode()
    assert 'value="-40.0"' in page


def test_a_raw_count_leads_to_its_calibration_and_is_missing_until_it_has_one(keeper, station):
    page = ask(keeper, "register-instrument-add", station.pk, "rain_amount", name="tips", unit="count")
    channel = Channel.objects.get(station=station)
    where = (station.pk, channel.pk)
    assert page.request["PATH_INFO"] == reverse("register-calibration", args=where)
    assert b"sends raw numbers" in keeper.get(reverse("register-waiting", args=[station.pk])).content
    ask(keeper, "register-calibration", *where, millimetres_per_tip="0.2", counts="period")
    made = Calibration.objects.get()
    assert (made.kind, made.parameters) == ("tips", {"millimetres_per_tip": 0.2, "counts": "period"})
    assert made.made_by.username == "kay"


def test_a_calibrations_faults_are_told_beside_the_field(keeper, station):
    ask(keeper, "register-instrument-add", station.pk, "wind_speed", name="pulses", unit="count")
    where = (station.pk, Channel.objects.get(station=station).pk)
    page = ask(keeper, "register-calibration", *where, metres_per_pulse="0.7").content.decode()
    assert "over how many seconds" in page
    page = ask(keeper, "register-calibration", *where, metres_per_pulse="-1", period="60").content.decode()
    assert "is above 0" in page
    assert not Calibration.objects.exists()


def test_a_table_is_written_a_pair_on_each_line(homes, keeper):
    where = (homes.station.pk, homes.thermometer.pk)
    address = f"{reverse('register-calibration', args=where)}?kind=table"
    page = keeper.post(address, {"points": "0 0.2\n10"})
    assert "Write two numbers on each line" in page.content.decode()
    keeper.post(address, {"points": "0; 0,2\n10; 9,8"})
    assert Calibration.objects.get().parameters == {"points": [[273.15, 273.35], [283.15, 282.95]]}


@pytest.mark.parametrize(
    ("kind", "said", "sentence"),
    [
        ("gain_offset", {"gain": "1e8", "offset": "0"}, "is between 0.05 and 20: if readings"),
        # The air is between -80 and 60 °C anywhere (catalogue): a quarter of that span is 35 °C.
        ("gain_offset", {"gain": "1", "offset": "-1e8"}, "is 35 °C at most either way for air temperature"),
        ("polynomial", {"coefficients": "0 1e8"}, "would change air temperature by more than 70 °C"),
        ("table", {"points": "0 0\n10 1e8"}, "would change air temperature by more than 70 °C"),
    ],
)
def test_an_absurd_figure_is_refused_with_what_is_possible(homes, keeper, kind, said, sentence):
    where = (homes.station.pk, homes.thermometer.pk)
    page = keeper.post(f"{reverse('register-calibration', args=where)}?kind={kind}", said).content.decode()
    assert sentence in page
    assert not Calibration.objects.exists()


def test_a_vane_may_be_turned_all_the_way_round(keeper, station):
    ask(keeper, "register-instrument-add", station.pk, "wind_from_direction", name="vane", unit="deg")
    where = (station.pk, Channel.objects.get(station=station).pk)
    address = f"{reverse('register-calibration', args=where)}?kind=gain_offset"
    keeper.post(address, {"gain": "1", "offset": "-200"})
    assert Calibration.objects.get().parameters == {"gain": 1.0, "offset": -200.0}


def test_a_gauges_form_asks_in_plain_words(keeper, station):
    page = ask(keeper, "register-instrument-add", station.pk, "rain_amount", name="tips", unit="count")
    text = page.content.decode()
    assert "The counter begins again at" in text and "How it counts" in text and "Modulus" not in text


@pytest.mark.parametrize("low", ["0", "-0.5"])
def test_a_thermometer_blind_to_frost_is_pointed_out(keeper, station, low):
    said = THERMOMETER | {"range_low": low}
    page = ask(keeper, "register-instrument-add", station.pk, "air_temperature", **said).content.decode()
    assert f"This one ends at {low.replace('-', '−')} °C" in page
    assert "a coarse rule" in page  # no record yet


def test_an_ordinary_thermometer_is_not(keeper, station):
    page = ask(keeper, "register-instrument-add", station.pk, "air_temperature", **THERMOMETER)
    assert "This one ends" not in page.content.decode()


def test_usual_figures_can_be_taken_over_without_a_script(keeper, station):
    add = reverse("register-instrument-add", args=[station.pk, "air_temperature"])
    # Common practice: a cheap humidity sensor's thermometer is rated from 0 to 50 °C.
    page = keeper.get(f"{add}?like=4&name=t1").content.decode()
    assert 'name="range_high" value="50"' in page
    assert 'value="t1"' in page


def test_the_clock_is_asked_for_in_words(homes, keeper):
    said = {"report_every": "300", "zone": "other", "stamps": "start"}
    page = ask(keeper, "register-clock", homes.station.pk, other_zone="Nowhere/Land", **said)
    assert "is not a time zone" in page.content.decode()
    ask(keeper, "register-clock", homes.station.pk, other_zone="Europe/Berlin", **said)
    assert (Clock.objects.get().zone, Clock.objects.get().stamps) == ("Europe/Berlin", "start")


def test_what_was_answered_is_told_in_words(homes, keeper):
    ask(keeper, "register-clock", homes.station.pk, report_every="300", zone="UTC", stamps="end")
    page = keeper.get(reverse("register-key", args=[homes.station.pk])).content.decode()
    assert "UTC, a report every 5 minutes" in page


@pytest.mark.parametrize(
    ("variable", "words"),
    [
        ("rain_amount", "a count of tips"),
        ("wind_speed", "a raw count"),
        ("relative_humidity", "0.71 for 71 %"),
    ],
)
def test_units_that_are_no_units_of_daily_life_are_said_in_words(homes, keeper, variable, words):
    address = reverse("register-instrument-add", args=[homes.station.pk, variable])
    assert words in keeper.get(address).content.decode()


def test_a_barometer_that_ends_too_high_is_not_said_to_serve_in_other_seasons(homes, keeper):
    # ISO 2533: 961 hPa at 440 m in the standard atmosphere, and lows go well below it.
    address = reverse("register-instrument-add", args=[homes.station.pk, "station_pressure"])
    page = keeper.get(f"{address}?like=1").content.decode()
    assert "This one ends at 960 hPa" in page
    assert "other seasons" not in page


FAULTS = [
    ("register-place", (), PLACE | {"latitude": "8.92", "longitude": "47.315"}, "Are the two swapped?"),
    ("register-place", (), PLACE | {"elevation": "high"}, "Write a number"),
    ("register-place", (), PLACE | {"elevation": "20000"}, "Is the elevation in metres?"),
    ("register-place", (), PLACE | {"since": "2100-01-01T00:00"}, "still to come"),
    ("register-name", (), {"name": ""}, "Write something here"),
    ("register-name", (), {"name": "Gate"}, "already has a station of this name"),
    ("register-instrument-add", ("rain_amount",), {"name": "temp", "unit": "mm"}, "of this name already"),
    ("register-instrument-add", ("rain_amount",), {"name": "age", "unit": "mm"}, "means something else"),
    (
        "register-instrument-add",
        ("rain_amount",),
        {"name": "r", "unit": "mm", "accuracy": "0"},
        "more than zero",
    ),
    (
        "register-instrument-add",
        ("rain_amount",),
        {"name": "r", "unit": "mm", "range_low": "5", "range_high": "1"},
        "Are the two swapped?",
    ),
    (
        "register-siting-note",
        ("air_temperature",),
        {"words": ""},
        "Answer a question or write some words",
    ),
]


@pytest.mark.parametrize(("name", "where", "said", "sentence"), FAULTS)
def test_faults_are_told_in_plain_sentences(homes, keeper, station, name, where, said, sentence):
    page = ask(keeper, name, homes.station.pk, *where, **{"since": SINCE} | said)
    assert page.status_code == 200
    assert sentence in page.content.decode()


def test_a_live_station_that_moves_is_asked_since_when_and_keeps_its_former_place(homes, keeper):
    homes.live()
    ask(keeper, "register-place", homes.station.pk, since=SINCE, **PLACE)
    former, present = Placement.objects.filter(station=homes.station)
    assert former.ends_at == present.begins_at
    page = keeper.get(reverse("register-place", args=[homes.station.pk])).content.decode()
    assert "It stood at 47.31000, 8.91000" in page


def test_how_the_place_is_shown_changes_at_once_and_moves_nothing(homes, keeper):
    homes.live()
    here = {"latitude": "47.31", "longitude": "8.91", "elevation": "440", "since": SINCE}
    ask(keeper, "register-place", homes.station.pk, shown="hidden", **here)
    homes.station.refresh_from_db()
    assert homes.station.shown == "hidden"
    assert Placement.objects.filter(station=homes.station).count() == 1


def test_a_new_name_or_a_hidden_place_makes_no_work(homes, keeper):
    """Years of readings are not understood anew because a station is called otherwise."""
    homes.live()
    Report.keep(homes.station.pk, 1.77e9, "", b"temp=4", "x", 1770000000, 1770000000, "")
    Work.objects.all().delete()
    here = {"latitude": "47.31", "longitude": "8.91", "elevation": "440", "since": SINCE}
    ask(keeper, "register-place", homes.station.pk, shown="hidden", **here)
    ask(keeper, "register-name", homes.station.pk, name="Yard")
    homes.station.refresh_from_db()
    assert (homes.station.name, homes.station.shown) == ("Yard", "hidden")
    assert not Work.objects.exists()


def test_my_stations_says_what_comes_next(keeper, station):
    page = keeper.get(reverse("my-stations")).content.decode()
    assert "Next: <a" in page
    assert reverse("register-place", args=[station.pk]) in page


def test_what_a_device_names_but_nobody_described_can_be_described_from_there(homes, keeper):
    address = reverse("register-instruments", args=[homes.station.pk])
    page = keeper.get(f"{address}?name=hum&idity").content.decode()
    assert "What is “hum”" in page
    assert "relative_humidity/?name=hum" in page
