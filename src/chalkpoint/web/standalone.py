"""Documents that stand alone, such as a class's report: served as they are saved, with their own styles and no script."""

from __future__ import annotations

__all__ = ["STANDALONE"]

STANDALONE = "; ".join(
    (
        "default-src 'none'",
        "style-src 'unsafe-inline'",
        "img-src data:",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
