"""A cluster of two workers, one killed while it marks: the same entries as one process gives."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator

import pytest
from distributed import Client, LocalCluster

from chalkpoint.marking.answers import Script
from chalkpoint.marking.classes import mark_scripts
from chalkpoint.marking.cluster import mark_on_cluster
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.papers import Papers
from heron import papers_of

SCRIPTS = 2_000
ANSWERS = ("01010000 0011", "01010100 0011", "00101010 0100", "01100100 0100", "banana", "")


@pytest.fixture(scope="module")
def cluster() -> Iterator[LocalCluster]:
    """Two workers, each a process of its own."""
    os.environ["PYTHONPATH"] = os.pathsep.join(sys.path)
    with LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as made:
        yield made


def scripts() -> Iterator[Script]:
    """Many scripts, no two with the same answers to both questions in a row."""
    for number in range(SCRIPTS):
        answers = (ANSWERS[number % 6], ANSWERS[number // 6 % 6])
        written = {at: {"answer": text} for at, text in enumerate(answers, start=1) if text}
        yield Script(f"H{number:05}", 1, written)


def asked() -> Papers:
    """Two questions."""
    return papers_of(("subtract", "8.875", "3.6875"), ("subtract", "6.5", "1.25"))


def test_a_worker_killed_in_mid_run_costs_time_only(cluster: LocalCluster) -> None:
    """What comes back is what one process makes, in the same order."""
    expected = list(mark_scripts(asked(), scripts()))
    killed = threading.Event()

    def kill() -> None:
        time.sleep(0.3)
        with Client(cluster.scheduler_address) as client:
            (first, *_) = client.run(os.getpid).values()
        os.kill(first, signal.SIGTERM if os.name == "nt" else signal.SIGKILL)
        killed.set()

    killer = threading.Thread(target=kill)
    found = mark_on_cluster(asked(), scripts(), cluster.scheduler_address)
    first = next(found)
    killer.start()
    assert [first, *found] == expected
    killer.join()
    assert killed.is_set()


def test_where_no_cluster_answers_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """One sentence, with what would do."""
    monkeypatch.setattr("chalkpoint.marking.cluster.PATIENCE", "1s")
    with pytest.raises(EntryError, match="no cluster answers"):
        next(mark_on_cluster(asked(), scripts(), "tcp://127.0.0.1:9"))


def test_without_the_library_it_is_said() -> None:
    """The command says which extra is missing, and leaves no trace of an import."""
    code = (
        "import sys; sys.modules['distributed'] = None\n"
        "from chalkpoint.marking.cluster import mark_on_cluster\n"
        "from heron import papers_of\n"
        "next(mark_on_cluster(papers_of(('add', '1', '2')), [], 'tcp://x'))\n"
    )
    surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=surroundings, check=False
    )
    assert '[cluster]"' in done.stderr
