"""Workbooks read a row at a time, each cell as the sheet program kept it."""

from pathlib import Path

import pytest
from openpyxl import Workbook

from chalkpoint.marking.answers import scripts
from chalkpoint.numbers.errors import FileError
from chalkpoint.publishing.workbooks import rows_of
from heron import papers_of


def test_numbers_get_their_zeros_back(tmp_path: Path) -> None:
    """A pattern that a sheet program made a number is read as the pattern, and it is said."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(["student", "question", "line", "written"])
    sheet.append(["Odo", 1, "exponent", 11])
    sheet.append(["Odo", 1, "answer", 10101000011])
    book.save(tmp_path / "answers.xlsx")
    (odo,) = scripts(rows_of(tmp_path / "answers.xlsx"), papers_of(("subtract", "6.5", "1.25")))
    assert odo.written == {1: {"exponent": "0011", "answer": "010101000011"}}
    assert [trouble.repaired for trouble in odo.troubles] == [True, True]


def test_what_is_no_workbook_is_refused(tmp_path: Path) -> None:
    """Text under the name of a workbook is refused in one sentence."""
    (tmp_path / "answers.xlsx").write_text("student", encoding="utf-8")
    with pytest.raises(FileError, match=r"cannot be read \(not a workbook\)"):
        list(rows_of(tmp_path / "answers.xlsx"))
