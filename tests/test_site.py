"""The documents as a site: built without a warning, every link and picture there, everything found by its search."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PAGES = sorted(path.stem for path in (ROOT / "docs").glob("*.md"))


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the site; a warning is an error."""
    out = tmp_path_factory.mktemp("site")
    subprocess.run([sys.executable, "-m", "sphinx", "-q", "-W", str(ROOT / "docs"), str(out)], check=True)
    return out


def test_every_document_is_a_page_that_leads_and_shows_what_it_says(site: Path) -> None:
    """Links and pictures of every page name files of the site."""
    assert {path.stem for path in site.glob("*.html")} >= set(PAGES)
    for page in PAGES:
        text = (site / f"{page}.html").read_text(encoding="utf-8")
        targets = re.findall(r'(?:href|src)="([^"#:?]+)(?:[#?][^"]*)?"', text)
        assert [target for target in targets if not (site / target).exists()] == []


@pytest.mark.parametrize(
    ("word", "page"),
    [("absorb", "glossary"), ("postgresql", "operating"), ("booklet", "setting"), ("subnorm", "glossary")],
)
def test_the_search_finds_words_where_they_are_explained(site: Path, word: str, page: str) -> None:
    """The index that the search page loads leads from a word to its document."""
    text = (site / "searchindex.js").read_text(encoding="utf-8")
    index = json.loads(text[text.index("(") + 1 : text.rindex(")")])
    found = index["terms"][word]
    numbers = found if isinstance(found, list) else [found]
    assert page in {index["docnames"][number] for number in numbers}


def test_the_first_page_shows_what_the_tool_makes(site: Path) -> None:
    """A working, a paper, a class's page and a board, as in the README."""
    text = (site / "index.html").read_text(encoding="utf-8")
    assert re.findall(r'src="_images/(\w+)\.\w+"', text) == ["working", "paper", "class", "board"]
