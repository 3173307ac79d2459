"""A small page of words and tables, complete in itself, after the look."""

from __future__ import annotations

from html import escape

__all__ = ["document"]

STYLE = """
:root { --paper: #fbf9f4; --ink: #1e1c19; --soft: #5a544b; --rail: #7d7568; --hair: #d8d1c4; }
@media (prefers-color-scheme: dark) {
  :root { --paper: #1c2223; --ink: #f3efe4; --soft: #b9b4a6; --rail: #8f8d82; --hair: #434a4a; }
}
@media print { :root { --paper: #fff; --ink: #000; --soft: #444; --rail: #555; --hair: #aaa; } }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 60rem; padding: 2.2rem 1.2rem; background: var(--paper); color: var(--ink);
  font: 0.9375rem/1.5 Verdana, "DejaVu Sans", sans-serif; }
h1 { font-size: 1.75rem; font-weight: 400; line-height: 1.25; overflow-wrap: anywhere; }
h2 { font-size: 1.0625rem; margin-top: 2.2rem; }
p, li { max-width: 38rem; }
.verdict { font-size: 1.0625rem; }
.wide { overflow-x: auto; }
.wide:focus-visible { outline: 3px solid var(--ink); outline-offset: 3px; }
table { border-collapse: collapse; width: 100%; }
caption { text-align: left; color: var(--soft); padding-bottom: 0.3rem; }
th, td { text-align: left; vertical-align: top; padding: 0.6rem 0.8rem 0.6rem 0; border-bottom: 1px solid var(--hair); }
thead th { color: var(--soft); font-weight: 400; border-bottom: 2px solid var(--rail); }
.stroke { display: inline-block; min-width: 1.6em; font-weight: 700; }
.bits { font-family: "DejaVu Sans Mono", Menlo, Consolas, monospace; }
"""


def document(title: str, body: str) -> str:
    """Return a page with *title* and *body*, which is HTML.

    >>> document("Gauge", "<p>6.5</p>").startswith("<!doctype html>")
    True
    """
    scrolls = body.replace(
        "<div class=wide>", '<div class="wide" tabindex="0" role="region" aria-label="Table">'
    )
    return (
        f'<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{STYLE}</style>\n</head>\n"
        f"<body>\n<main>\n<h1>{escape(title)}</h1>\n{scrolls}\n</main>\n</body>\n</html>\n"
    )
