"""Processes that serve together: they stop with the one that started them."""

from pathlib import Path
from time import monotonic, sleep

from conftest_records import fresh_database
from conftest_web import PATIENCE, answers, together


def test_the_processes_stop_when_the_one_that_started_them_is_killed(
    postgresql_server: str, tmp_path: Path
) -> None:
    """Nothing goes on listening: the port is free for the next start."""
    with together(fresh_database(postgresql_server), tmp_path) as (address, serving):
        serving.kill()
        until = monotonic() + PATIENCE
        while answers(address) and monotonic() < until:
            sleep(0.1)
        assert not answers(address)
