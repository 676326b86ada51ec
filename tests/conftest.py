"""Fixtures that every folder of tests may use."""

from collections.abc import Iterator

import pytest

from tests import services


@pytest.fixture(scope="session")
def postgresql_url() -> Iterator[str]:
    """A PostgreSQL server for the session."""
    with services.postgresql() as url:
        yield url


@pytest.fixture(scope="session")
def redis_url() -> Iterator[str]:
    """A Redis server for the session."""
    with services.redis_server() as url:
        yield url


@pytest.fixture(scope="session")
def chromium() -> str:
    """Where the browser is."""
    return services.chromium()
