"""A browser in a few words, so that a teacher knows which of several sessions is which."""

from __future__ import annotations

__all__ = ["browser_words"]

BROWSERS = {"Edg/": "Edge", "Firefox/": "Firefox", "Chrome/": "Chrome", "Safari/": "Safari"}
SYSTEMS = {
    "Android": "Android",
    "iPhone": "iPhone",
    "iPad": "iPad",
    "Windows": "Windows",
    "Mac OS": "Mac",
    "Linux": "Linux",
}


def browser_words(agent: str) -> str:
    """Return what a browser says of itself, in words of ours.

    >>> browser_words("Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0")
    'Firefox on Linux'
    >>> browser_words("heron")
    'a browser'
    """
    name = next((words for sign, words in BROWSERS.items() if sign in agent), "a browser")
    system = next((words for sign, words in SYSTEMS.items() if sign in agent), "")
    return f"{name} on {system}" if system else name
