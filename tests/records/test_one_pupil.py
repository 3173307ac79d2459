"""One pupil everywhere: carried away whole, and erased from every table, while the other pupils' things stay."""

import json
from typing import Any

import pytest
from sqlalchemy import select

from chalkpoint.marking.answers import Script, whole_scripts
from chalkpoint.marking.students import Marker
from chalkpoint.records import audit, kept, marks, overrides, scripts
from chalkpoint.records.kept import NotKept
from chalkpoint.records.one_pupil import erase_pupil, export_pupil
from chalkpoint.records.schema import Base
from chalkpoint.records.store import Store
from chalkpoint.setting.paperfile import papers_from

PAPERS: dict[str, Any] = {
    "schema": "chalkpoint.papers/1",
    "title": "Gauges",
    "papers": [{"variant": 1, "questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}],
}
CODE, OTHER = "HQ7", "HQ8"  # signs that stand in no id by chance often enough to matter


class School:
    """Two classes with a pupil of the same code in each; each sat papers that were marked and decided on."""

    def __init__(self, store: Store, teacher: str) -> None:
        self.store, self.teacher = store, teacher
        rows = [
            ["student", "question", "line", "written"],
            *([code, "1", "answer", "0.1010011 0011"] for code in (CODE, OTHER)),
        ]
        handed_in: list[Script] = whole_scripts(rows, papers_from(PAPERS))
        marker = Marker(papers_from(PAPERS))
        entries = [marker.entry(script) for script in handed_in]
        self.classes, self.papers = [], []
        with store.write() as db:
            for title in ("12 Heron", "12 Dune"):
                group = kept.keep(db, teacher, "class", title, f"{CODE}\n{OTHER}").id
                papers = kept.keep(
                    db, teacher, "papers", title, json.dumps(PAPERS), about={"class": group}
                ).id
                scripts.put_scripts(db, teacher, papers, handed_in)
                for _ in range(2):
                    marks.keep_marks(db, teacher, papers, entries)
                for code in (CODE, OTHER):
                    overrides.decide(
                        db, teacher, papers, student=code, question=1, line="answer", marks=1, reason="seen"
                    )
                    audit.note_look(db, teacher, papers, code)
                    audit.note_look(db, teacher, papers, code)  # again within the hour: the same look
                self.classes.append(group)
                self.papers.append(papers)

    def cells(self) -> list[tuple[str, str]]:
        """Return (table, text) of every cell that holds the pupil's code."""
        found = []
        with self.store.read() as db:
            for table in Base.metadata.sorted_tables:
                for row in db.execute(select(table)):
                    found += [
                        (table.name, value) for value in row if isinstance(value, str) and CODE in value
                    ]
        return found


@pytest.fixture
def school(store: Store, teacher: str) -> School:
    """Two classes."""
    return School(store, teacher)


def test_all_of_a_pupil_is_carried_away(school: School) -> None:
    """The script with its lines, both markings, the decision, the audit's lines and who looked: of one class."""
    with school.store.read() as db:
        found = export_pupil(db, school.teacher, CODE, school.classes[0])
    assert (found["code"], found["classes"]) == (CODE, ["12 Heron"])
    (papers,) = found["papers"]
    assert papers["title"] == "12 Heron"
    assert papers["script"]["lines"] == [{"question": 1, "line": "answer", "written": "0.1010011 0011"}]
    assert [one["entry"]["student"] for one in papers["markings"]] == [CODE, CODE]
    assert [(one["marks"], one["reason"]) for one in papers["decisions"]] == [(1, "seen")]
    assert [one["what"] for one in papers["audit"]] == ["decided"]
    assert [one["by"] for one in papers["looked_at"]] == ["ada"]
    assert "Backups" in found["backups"]
    assert OTHER not in json.dumps(found)


def test_without_a_class_every_set_of_papers_is_gone_through(school: School) -> None:
    """So a teacher whose codes are all different need not know where a pupil sat."""
    with school.store.read() as db:
        found = export_pupil(db, school.teacher, CODE)
    assert [one["title"] for one in found["papers"]] == ["12 Heron", "12 Dune"]


def test_an_erased_pupil_is_in_no_table(school: School) -> None:
    """Not even in deleted papers; the other class's pupil of that code, and every other pupil, stay as they were."""
    with school.store.write() as db:
        kept.delete(db, school.teacher, "papers", school.papers[0])
        erased = erase_pupil(db, school.teacher, CODE, school.classes[0])
    assert erased.counts == {
        "scripts": 1,
        "marks": 2,
        "decisions": 1,
        "lines of the audit": 2,
        "entries in a class": 1,
    }
    assert [papers for papers, _ in erased.runs] == [school.papers[0]] * 2
    with school.store.read() as db:
        assert not export_pupil(db, school.teacher, CODE, school.classes[0])["papers"]
        assert len(export_pupil(db, school.teacher, CODE, school.classes[1])["papers"][0]["markings"]) == 2
        assert len(export_pupil(db, school.teacher, OTHER, school.classes[0])["papers"][0]["markings"]) == 2
    assert school.cells()
    with school.store.write() as db:
        erase_pupil(db, school.teacher, CODE)
    assert school.cells() == []


def test_another_teachers_class_is_not_found(school: School, other: str) -> None:
    """Neither to carry a pupil away nor to erase one; and without a class there is nothing of hers."""
    with school.store.write() as db:
        for ask in (export_pupil, erase_pupil):
            with pytest.raises(NotKept):
                ask(db, other, CODE, school.classes[0])
        assert export_pupil(db, other, CODE)["papers"] == []
        assert erase_pupil(db, other, CODE).counts == {}
