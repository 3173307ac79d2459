"""How every test runs: Hypothesis repeats itself on CI and never hurries anywhere; one browser for all pages.

`pytest --write-golden` writes the whole cases of tests/publishing/golden anew; read what changed before committing.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings
from playwright.sync_api import Browser

if TYPE_CHECKING:
    from stacks import Class

settings.register_profile("desk", deadline=None, print_blob=True)
settings.register_profile("ci", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "desk")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add our own option."""
    parser.addoption("--write-golden", action="store_true", help="write the golden files anew")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The system's browser, started once."""
    from browser import open_browser

    with open_browser() as opened:
        yield opened


@pytest.fixture(scope="session")
def postgresql_server() -> Iterator[str]:
    """The URL of a PostgreSQL of the tests' own."""
    from postgresql import server, tool

    try:
        tool("initdb")
    except RuntimeError as reason:
        pytest.fail(str(reason), pytrace=False)
    with server() as url:
        yield url


@pytest.fixture(scope="session")
def heron(tmp_path_factory: pytest.TempPathFactory) -> Class:
    """Three pupils on paper, two sides each, taken by a scanner, a photocopier and a phone: once for all tests."""
    from chalkpoint.scanning.vision import cv2
    from stacks import a_class

    cv2.setNumThreads(1)
    return a_class(tmp_path_factory.mktemp("heron"))
