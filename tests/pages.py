"""Every page of the app by its address, for tests that go through all of them."""

from __future__ import annotations

__all__ = ["FOUND", "NONE", "PAGES", "WORKED"]

WORKED = "/work?operation=subtract&operands=8.875,3.6875&names=gauge,datum"
FOUND = "/find?operation=subtract&where=align-shift+%3D+2&where=lost-ones+%3D+1"
NONE = "/find?operation=subtract&where=equal-exponents&where=lost-ones+%3E%3D+1"
#: Pages by their address; what stands in braces is where the furnished server keeps it.
PAGES = (
    "/work",
    WORKED,
    f"{WORKED}&line=negate:11100010",
    "/work?operation=subtract&operands=8.875,banana",
    "/work?operation=encode&operands=0.1&format=24%2B8",
    "/find",
    FOUND,
    f"{FOUND}&simplest=10",
    NONE,
    "/find?operation=subtract&where=banana",
    "/set",
    "/set/new",
    "/set/new?as=text",
    "{blueprint}?question=1&ask=0&say=carry",
    "/set/questions",
    "{papers}",
    "/mark",
    "/mark/take-in",
    "{marking}/questions/1",
    "{marking}",
    "{marking}/scripts/H02",
    "{marking}/enter",
    "{marking}/stack",
    "{marking}/report",
    "{marking}/second",
    "{marking}/second?0-1=3&0-2=0",
    "{marking}/second?0-1=banana",
    "{marking}/pupils/H02",
    "/mark/question?question=subtract+8.875,+3.6875&lines=negate+11100010&answer=01010010+0011",
    "/mark/key",
    "/mark/classes/new",
    "{class}",
    "{class}/term",
    "{class}/pupils/H02",
    "/teach",
    "/teach/new",
    "{lesson}",
    "{lesson}/media",
    "{lesson}/board",
    "/teach/counter",
    "/teach/counter?belief=invert-only",
    "/teach/rooms",
    "{room}",
    "/courses",
    "/courses/new",
    "/kept",
    "/nowhere",
    "/room",
    "/practice",
    "/practice?operation=subtract&format=8%2B4&seed=7&level=1",
    "/practice?operation=subtract&format=8%2B4&seed=7&level=1&now=w&line=0001",
)
