"""What a tab is made of, built once for all of its tests, and browsers that keep what they are given."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext

from chalkpoint.web.tab import writing
from tabs import build_once, parts_of


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that `chalkpoint tab` writes."""
    return build_once(Path(tmp_path_factory.getbasetemp()))


@pytest.fixture(scope="session")
def one_file(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The one file, written of the same parts."""
    out = tmp_path_factory.mktemp("one") / "chalkpoint.html"
    with (
        pytest.MonkeyPatch.context() as patch,
        ThreadPoolExecutor(1) as apart,
    ):  # where no browser's loop runs
        patch.setattr(writing, "build_parts", lambda cache: parts_of(folder))
        apart.submit(writing.write_one_file, out).result()
    return out


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """A browser with nothing kept in it."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    yield context
    context.close()
