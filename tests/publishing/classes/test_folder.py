"""The folder of a marked class: whole or not at all, in every kind of file."""

import csv
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from openpyxl import load_workbook

from chalkpoint.marking.answers import scripts
from chalkpoint.marking.classes import mark_scripts
from chalkpoint.numbers.errors import EntryError
from chalkpoint.publishing.classes.folder import write_class
from chalkpoint.publishing.workbooks import rows_of
from heron import papers_of, table_by

PAPERS = papers_of()
ENTRIES = list(mark_scripts(PAPERS, scripts(table_by(PAPERS, {"Fenn": (), "=Odo()": ("sub-adds",)}), PAPERS)))


def test_everything_is_there(tmp_path: Path) -> None:
    """Marks as JSON, text and workbook, the class page and a page a pupil, all of one class."""
    write_class(PAPERS, ENTRIES, tmp_path / "marks")
    marked = json.loads((tmp_path / "marks" / "marks.json").read_text(encoding="utf-8"))
    assert marked["students"] == ENTRIES
    assert sorted(path.name for path in (tmp_path / "marks" / "students").iterdir()) == [
        "fenn.html",
        "odo.html",
    ]
    sheet = list(rows_of(tmp_path / "marks" / "marks.xlsx"))
    assert sheet[1][0] == "Fenn"
    assert sheet[1][-5:-3] == (ENTRIES[0]["marks"], ENTRIES[0]["could"])
    with ZipFile(
        tmp_path / "marks" / "marks.xlsx"
    ) as workbook:  # the same marks are the same bytes, whenever
        assert len({part.date_time for part in workbook.infolist()}) == 1
        assert workbook.read("docProps/core.xml").count(b">2020-01-01T00:00:00Z<") == 2


def test_a_name_is_no_formula(tmp_path: Path) -> None:
    """A name that a sheet program would run is kept as text: with an apostrophe, or in a cell that says it is text."""
    write_class(PAPERS, ENTRIES, tmp_path / "marks")
    with (tmp_path / "marks" / "marks.csv").open(encoding="utf-8-sig", newline="") as file:
        assert list(csv.reader(file))[2][0] == "'=Odo()"
    cell = load_workbook(tmp_path / "marks" / "marks.xlsx").worksheets[0]["A3"]
    assert (cell.value, cell.data_type) == ("=Odo()", "s")


def test_what_is_there_is_not_overwritten(tmp_path: Path) -> None:
    """A folder that is there is left alone unless it is to be replaced."""
    (tmp_path / "marks").mkdir()
    with pytest.raises(EntryError, match="is there already; give --replace"):
        write_class(PAPERS, ENTRIES, tmp_path / "marks")
    write_class(PAPERS, ENTRIES, tmp_path / "marks", replace=True)
    assert (tmp_path / "marks" / "class.html").exists()


def test_a_failure_leaves_nothing(tmp_path: Path) -> None:
    """Where marking breaks off, nothing half-written is left."""

    def breaks_off() -> Iterator[dict[str, Any]]:
        yield ENTRIES[0]
        raise EntryError("no more")

    with pytest.raises(EntryError, match="no more"):
        write_class(PAPERS, breaks_off(), tmp_path / "marks")
    assert list(tmp_path.iterdir()) == []
