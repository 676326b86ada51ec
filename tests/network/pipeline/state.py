"""All that can be made again from reports, metadata and decisions, as the database itself holds it."""

from django.db import connection

from network.models import (
    Case,
    Comparison,
    Evidence,
    FieldFit,
    Finding,
    Observation,
    Score,
    Skyline,
    Summary,
    VillageMap,
    Work,
)

MADE = (Observation, Evidence, Finding, Score, Skyline, Comparison, FieldFit, VillageMap, Summary, Case)


class State(dict[str, list[tuple[object, ...]]]):
    """The rows of each table."""

    def __repr__(self) -> str:
        return str({name: f"{len(rows)} rows" for name, rows in self.items()})


def state() -> State:
    """Every row of those tables to the last bit, in order; of a case all but its number."""
    found = State()
    with connection.cursor() as cursor:
        for model in MADE:
            columns = [f.column for f in model._meta.concrete_fields if f.column and f.name != "id"]
            names = ", ".join(f'"{column}"' for column in columns)
            cursor.execute(f'SELECT {names} FROM "{model._meta.db_table}"')
            found[model.__name__] = sorted(cursor.fetchall(), key=repr)
    return found


def assert_same(one: State, other: State) -> None:
    """Raise AssertionError with the first rows that differ."""
    for name, rows in one.items():
        only_one = sorted(set(rows) - set(other[name]), key=repr)
        only_other = sorted(set(other[name]) - set(rows), key=repr)
        assert not only_one and not only_other, (
            f"{name}: {len(only_one)} rows against {len(only_other)}, such as {only_one[:2]} against {only_other[:2]}"
        )
        assert rows == other[name]


def assert_nothing_is_left_to_do() -> None:
    """Raise AssertionError with what stands in the ledger, and why."""
    assert not [(str(one), one.problem) for one in Work.objects.all()]
