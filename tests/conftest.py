"""How every test runs: Hypothesis repeats itself on CI and never hurries anywhere; one browser for all pages.

`pytest --write-golden` writes the whole cases of tests/publishing/golden anew; read what changed before committing.
"""

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings
from playwright.sync_api import Browser

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
