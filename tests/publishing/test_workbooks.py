"""Sheets read: whole, and refused before anything is unpacked that would fill the memory."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from chalkpoint.marking.answers import scripts
from chalkpoint.numbers.errors import EntryError, FileError
from chalkpoint.publishing import workbooks
from chalkpoint.publishing.workbooks import rows_of
from chalkpoint.publishing.xlsxbook import write_book
from heron import papers_of


def sheet() -> bytes:
    """Return a small workbook."""
    book, out = Workbook(), io.BytesIO()
    for row in (["student", "1"], ["H01", "0.1010100 0011"], ["H02", 11]):
        book.worksheets[0].append(row)
    book.save(out)
    return out.getvalue()


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


def test_the_rows_of_a_file_and_of_an_open_one_are_the_same(tmp_path: Path) -> None:
    """Cells come as the sheet program kept them."""
    path = tmp_path / "answers.xlsx"
    path.write_bytes(sheet())
    rows = [("student", "1"), ("H01", "0.1010100 0011"), ("H02", 11)]
    assert list(rows_of(path)) == rows
    assert list(rows_of(io.BytesIO(sheet()))) == rows


def test_a_bomb_is_refused_before_it_goes_off() -> None:
    """A small file that unpacks to more than is read is refused by what it says of itself."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed,
        packed.open("xl/worksheets/sheet1.xml", "w") as part,
    ):
        for _ in range(workbooks.MOST_UNPACKED // 1_000_000 + 1):
            part.write(b" " * 1_000_000)
    assert len(out.getvalue()) < 1_000_000
    with pytest.raises(EntryError, match="unpacks to"):
        next(rows_of(io.BytesIO(out.getvalue())))


def test_many_parts_are_refused() -> None:
    """So is one of more parts than a workbook has."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        for number in range(workbooks.MOST_PARTS + 1):
            packed.writestr(f"{number}", "")
    with pytest.raises(EntryError, match="parts"):
        next(rows_of(io.BytesIO(out.getvalue())))


@pytest.mark.parametrize("data", [b"", b"student,1\n", b"PK\x03\x04 and nothing"])
def test_what_is_no_workbook_is_refused(data: bytes) -> None:
    """One sentence says what would do."""
    with pytest.raises(FileError, match=r"give a \.csv"):
        next(rows_of(io.BytesIO(data)))


@pytest.mark.parametrize(
    ("before", "after"), [(b"</row>", b""), (b'r="2"', b'r="two"'), (b'r="A2"', b'r="??"')]
)
def test_a_damaged_sheet_is_refused(before: bytes, after: bytes) -> None:
    """Damage that shows only when a row is read is said in the same sentence."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(sheet())) as whole, zipfile.ZipFile(out, "w") as packed:
        for name in whole.namelist():
            data = whole.read(name)
            assert "sheet1" not in name or before in data
            packed.writestr(name, data.replace(before, after) if "sheet1" in name else data)
    with pytest.raises(FileError, match="first sheet is damaged"):
        list(rows_of(io.BytesIO(out.getvalue())))


def test_what_anyone_may_type_is_kept_as_text() -> None:
    """Angle brackets, quotes, spaces at the ends, emoji; what no XML holds is shown as a sign of its own."""
    typed = ["<b>&\"'", "  two  ", "\N{GRINNING FACE} \u202e\u05d0", "=1+1", "\x07\x0b"]
    made = io.BytesIO()
    write_book(made, 'a "b" & c', [["head", *typed], ["0101", 7]], title="<t>", widths=(20, 8))
    assert list(rows_of(made)) == [("head", *typed[:-1], "\ufffd\ufffd"), ("0101", 7, None, None, None, None)]
    book = load_workbook(made)
    assert (book.sheetnames, book.properties.title) == (['a "b" & c'], "<t>")
    sheet = book.worksheets[0]
    assert (sheet.freeze_panes, int(sheet.column_dimensions["A"].width), sheet["E1"].data_type) == (
        "A2",
        20,
        "s",
    )
