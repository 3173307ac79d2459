"""The files of a tab, built once for all of its tests, and browsers that keep what they are given."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext

from tabs import Built, build_once


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Built:
    """What `chalkpoint tab` writes."""
    return build_once(Path(tmp_path_factory.getbasetemp()))


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """A browser with nothing kept in it."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    yield context
    context.close()
