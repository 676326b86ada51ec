"""The programs around the hub answer, one real round trip each, and end when they are told."""

import sys

import psycopg
import pytest
import redis

from tests.processes import background


def test_postgresql_remembers_a_row(postgresql_url):
    with psycopg.connect(postgresql_url) as connection:
        connection.execute("create temporary table rain (millimetres real)")
        connection.execute("insert into rain values (0.2)")
        assert connection.execute("select count(*) from rain").fetchone() == (1,)


def test_redis_hands_back_what_it_was_given(redis_url):
    with redis.Redis.from_url(redis_url) as client:
        client.rpush("nudges", "check")
        assert client.blpop("nudges", timeout=1) == (b"nudges", b"check")


def test_a_program_that_cannot_start_is_quoted(tmp_path):
    command = [sys.executable, "-c", "raise SystemExit('The port is taken.')"]
    with background(command, tmp_path / "log") as program, pytest.raises(RuntimeError, match="port is taken"):
        program.wait_until(lambda: False)
