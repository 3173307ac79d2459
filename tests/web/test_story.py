"""The whole story on one machine, with script and without."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from conftest_web import Served
from story import tell


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_a_class_is_found_set_marked_and_taught_again(browser: Browser, served: Served, script: bool) -> None:
    """From a request to the board, with mistakes on the way, and every step by the page's own links and forms."""
    tell(browser, served.address, script=script)
