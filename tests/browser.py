"""The system's own browser, for tests that look at pages."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, expect, sync_playwright

__all__ = ["chromium", "open_browser"]

#: Milliseconds that a page has to show what is expected, on a machine that runs other tests too.
PATIENCE = 20_000
NAMES = ("chromium", "chromium-browser", "google-chrome")
#: No sandbox, since CI runs as root; nothing that reaches out.
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def chromium() -> str:
    """Return the path of the browser."""
    for name in NAMES:
        if path := shutil.which(name):
            return path
    raise RuntimeError(f"No browser on the PATH ({', '.join(NAMES)}); install Chromium, see the README.")


@contextmanager
def open_browser() -> Iterator[Browser]:
    """Start the browser, and close it at the end."""
    expect.set_options(timeout=PATIENCE)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=ARGUMENTS)
        yield browser
        browser.close()
