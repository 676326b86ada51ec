"""Fixtures for the tests of what the stations make together."""

from collections.abc import Iterator
from urllib.parse import urlsplit, urlunsplit

import psycopg
import pytest

from stations.models import Village
from tests.network.known_hours import Known, found
from tests.network.made_village import make_village


@pytest.fixture
def small_village(db: None) -> Village:
    """Four live stations that measure temperature, humidity, pressure and rain; nothing reported yet."""
    return make_village()


@pytest.fixture
def known(db: None) -> Known:
    """Two stations whose hours a test makes by hand; nothing measured yet."""
    return found()


@pytest.fixture
def own_postgresql(postgresql_url: str, request: pytest.FixtureRequest) -> Iterator[str]:
    """An empty database of the session's server for one test."""
    name = f"own_{abs(hash(request.node.nodeid))}"
    with psycopg.connect(postgresql_url, autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}")
        yield urlunsplit(urlsplit(postgresql_url)._replace(path=f"/{name}"))
        server.execute(f"DROP DATABASE {name} WITH (FORCE)")
