"""How the documents become a site with search: `python -m sphinx -W docs build/site`, with the extra `docs`."""

from __future__ import annotations

from importlib.metadata import version as version_of

project = "Chalkpoint"
release = version_of("chalkpoint")
author = "the Chalkpoint authors"
language = "en"
extensions = ["myst_parser"]
root_doc = "index"
html_theme = "furo"
html_title = f"Chalkpoint {release}"
html_show_copyright = False
html_show_sphinx = False
html_copy_source = False
html_permalinks_icon = "#"
# Headings are linked to by their own words, as on any page of Markdown.
myst_heading_anchors = 4
# The README leads to files of the source too; on the site those stay plain words.
suppress_warnings = ["myst.xref_missing"]
