"""Answers as classes type them, long or wide, in several kinds of file."""

import json
from pathlib import Path

import pytest

from chalkpoint.marking.answerfiles import read_answers, rows_in, rows_in_text
from chalkpoint.marking.answers import scripts, whole_scripts
from chalkpoint.numbers.errors import EntryError, FileError
from heron import papers_of

PAPERS = papers_of(("subtract", "6.5", "1.25"), ("add", "2.75", "-1.5"), variants=2)
LONG = """student,variant,question,line,written
Odo,2,1,align,0.0010100
Odo,2,1,answer,0.1010011 0011
Odo,2,2,answer,0.1010000 0001
Wren,1,1,answer,overflow
"""
WIDE = "student;variant;1;Q2\nOdo;2;0.1010011 0011;0,5\nWren;;;overflow\n"


def test_a_long_table(tmp_path: Path) -> None:
    """A row a line of working becomes a script a pupil."""
    (tmp_path / "answers.csv").write_text(LONG, encoding="utf-8")
    odo, wren = scripts(read_answers(tmp_path / "answers.csv"), PAPERS)
    assert odo.written == {
        1: {"align": "0.0010100", "answer": "0.1010011 0011"},
        2: {"answer": "0.1010000 0001"},
    }
    assert (odo.variant, wren.student, wren.written) == (2, "Wren", {1: {"answer": "overflow"}})


def test_a_wide_table_with_semicolons(tmp_path: Path) -> None:
    """A row a pupil, parted by semicolons where commas are decimal; a blank cell is nothing written."""
    (tmp_path / "answers.csv").write_text(WIDE, encoding="utf-8-sig")
    odo, wren = scripts(read_answers(tmp_path / "answers.csv"), PAPERS)
    assert odo.written == {1: {"answer": "0.1010011 0011"}, 2: {"answer": "0,5"}}
    assert wren.written == {2: {"answer": "overflow"}}


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-8-sig"])
def test_texts_as_sheet_programs_save_them(tmp_path: Path, encoding: str) -> None:
    """UTF-16 is what they call Unicode text: with tabs, with a mark in front or without."""
    (tmp_path / "answers.txt").write_bytes("student\t1\nOdo\t0.1010100 ００11\n".encode(encoding))
    (odo,) = scripts(read_answers(tmp_path / "answers.txt"), PAPERS)
    assert (odo.student, odo.written[1]) == ("Odo", {"answer": "0.1010100 ００11"})


def test_objects(tmp_path: Path) -> None:
    """JSON holds the same rows as objects."""
    rows = [{"student": "Odo", "variant": 1, "question": 2, "written": "overflow"}]
    (tmp_path / "answers.json").write_text(json.dumps(rows), encoding="utf-8")
    (odo,) = scripts(read_answers(tmp_path / "answers.json"), PAPERS)
    assert odo.written == {2: {"answer": "overflow"}}


def test_a_homework_sheet() -> None:
    """A saved sheet says once who wrote it."""
    sheet = {
        "student": "Odo",
        "variant": 2,
        "answers": [{"question": 1, "line": "align", "written": "0.0010100"}],
    }
    (odo,) = scripts(rows_in(sheet), PAPERS)
    assert (odo.student, odo.variant, odo.written) == ("Odo", 2, {1: {"align": "0.0010100"}})


def test_what_has_no_place_is_named_and_nothing_else_is_lost() -> None:
    """A question that is not on the paper is named by row and column; the rest of the script stands."""
    rows = [["student", "question", "written"], ["Odo", "9", "1"], ["Odo", "1", "overflow"]]
    (odo,) = scripts(rows, PAPERS)
    assert odo.written == {1: {"answer": "overflow"}}
    assert str(odo.troubles[0]) == "row 2, column C: '1' there is no question '9' on variant 1"


def test_a_variant_that_was_not_set_is_named() -> None:
    """A variant nobody has is named, with those there are."""
    (odo,) = scripts([["student", "variant", "1"], ["Odo", "7", "overflow"]], PAPERS)
    assert "there is no variant 7; they are 1 to 2" in str(odo.troubles[0])


def test_cells_of_one_row_with_one_fault_are_named_together() -> None:
    """Each by its column, with what stands in it; another row's apart."""
    (odo,) = scripts(
        [["student", "variant", "1", "2"], ["Odo", "7", "8", "9"], ["Odo", "7", "5", ""]], PAPERS
    )
    assert [str(one).partition(" there")[0] for one in odo.troubles] == [
        "row 2, column C, D: '8, 9'",
        "row 3, column C: '5'",
    ]


def test_heads_that_cannot_be_used_are_refused() -> None:
    """A table without the heads is refused with what they should be."""
    with pytest.raises(EntryError, match="a wide one has student and a column for each question"):
        list(scripts([["Odo", "0.1"]], PAPERS))


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    """A missing file is refused in one sentence."""
    with pytest.raises(FileError, match=r"give a \.csv, \.xlsx or \.json file"):
        list(read_answers(tmp_path / "none.csv"))


def test_one_script_is_held_at_a_time() -> None:
    """A script is handed on as soon as the next pupil begins: the source is not read to its end."""
    read = []

    def rows() -> object:
        yield ["student", "1"]
        for number in range(1000):
            read.append(number)
            yield [f"pupil {number}", "overflow"]

    next(scripts(rows(), PAPERS))  # type: ignore[arg-type]
    assert len(read) == 2


def test_an_answer_written_twice_is_named() -> None:
    """The later one is marked, and the teacher is shown both; the same again is no trouble."""
    rows = [["student", "1", "2"], ["Odo", "0.1", "1.0"], ["Odo", "0.1", "1.1"], ["Ina", "1", "1"]]
    for read in (list(scripts(rows, PAPERS)), whole_scripts(rows, PAPERS)):
        assert [script.student for script in read] == ["Odo", "Ina"]
        assert read[0].written == {1: {"answer": "0.1"}, 2: {"answer": "1.1"}}
        assert [str(trouble) for trouble in read[0].troubles] == [
            "row 3, column C: '1.1' comes after '1.0': a line written twice, or one code for two pupils? "
            "The later one is marked"
        ]


def test_rows_of_a_pupil_that_stand_apart_are_one_script_or_refused() -> None:
    """A class's table is read whole; of a board's, read a pupil at a time, the pupil is named."""
    rows = [["student", "1", "2"], ["Odo", "0.1", ""], ["Ina", "1", "1"], ["Odo", "", "1.1"]]
    assert whole_scripts(rows, PAPERS)[0].written == {1: {"answer": "0.1"}, 2: {"answer": "1.1"}}
    with pytest.raises(EntryError, match="rows of 'Odo' stand apart; sort the table by pupil"):
        list(scripts(rows, PAPERS))


def test_a_pupil_sits_one_variant() -> None:
    """Rows that name two are refused, with what to do."""
    rows: list[list[object]] = [["student", "variant", "1"], ["Odo", 1, "0.1"], ["Odo", 2, "0.1"]]
    for read in (scripts, whole_scripts):
        with pytest.raises(EntryError, match="'Odo' are on variant 1 and on variant 2; a pupil sits one"):
            list(read(rows, PAPERS))


@pytest.mark.parametrize(
    "rows",
    [
        [["student", "1"], ["", "5.25"]],
        [["1", "student"], ["5.25"]],
        [["student", "q", "written"], [None, 1, 5]],
    ],
)
def test_answers_of_nobody_are_refused_by_their_row(rows: list[list[object]]) -> None:
    """They would be marked as nobody's, or not at all."""
    with pytest.raises(EntryError, match="row 2 has answers and no pupil"):
        list(scripts(rows, papers_of(("subtract", "6.5", "1.25"))))


@pytest.mark.parametrize("number", ["\u00b2", "9" * 5000])
def test_a_number_that_cannot_be_one_is_none(number: str) -> None:
    """Neither a small raised digit nor one of thousands of digits names a question."""
    rows: list[list[object]] = [
        ["student", "question", "written"],
        ["Odo", number, "5.25"],
        ["Odo", 1, "5.25"],
    ]
    (odo,) = scripts(rows, papers_of(("decode", "0.1010100 0011")))
    assert odo.written == {1: {"answer": "5.25"}}
    assert [trouble.place for trouble in odo.troubles] == ["row 2, column C"]


@pytest.mark.parametrize(
    "text",
    [
        "[" * 100_000,
        '[{"student": "Odo", "variant": ' + "9" * 5000 + "}]",
        '{"answers": 5}',
        '{"answers": [1]}',
    ],
)
def test_objects_that_are_no_answers_are_refused(text: str) -> None:
    """In one sentence, whatever shape they have."""
    with pytest.raises(EntryError, match=r"list of|nested too deep|more digits"):
        list(rows_in_text(text, is_json=True))


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ([["student", "1", "algin"], ["H01", "5.25", ""], ["H02", "", "0.001"]], "row 3, column C: '0.001' "),
        ([["student", "1", "algin"], ["H01", "5.25", "0.001"]], "nothing in this column is; did you mean 1 align?"),
        ([["student", "1", ""], ["H01", "5.25", "x"]], "row 2, column C: 'x' stands under ''"),
        ([["student", "question", "lin", "written"], ["H01", "1", "align", "0.001"]], "did you mean line?"),
    ],
)  # fmt: skip
def test_a_head_that_is_not_read_is_named(rows: list[list[str]], said: str) -> None:
    """Once, at the first cell below it; nothing that stands there is lost without a word."""
    found = whole_scripts(rows, papers_of(("subtract", "6.5", "1.25")))
    (trouble,) = [str(trouble) for script in found for trouble in script.troubles]
    assert said in trouble
