"""Documents that stand alone, such as a class's report: served as they are saved, with styles of their own, no script."""

from __future__ import annotations

__all__ = ["STANDALONE"]

STANDALONE = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
