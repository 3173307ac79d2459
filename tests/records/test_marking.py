"""Scripts, marks and decisions: as they were handed in, marked and decided, and nobody else's."""

import json
from typing import Any

import pytest

from chalkpoint.marking.answers import Script, whole_scripts
from chalkpoint.marking.students import Marker
from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import audit, kept, marks, overrides, pupils, scripts
from chalkpoint.records.ids import now
from chalkpoint.records.kept import NotKept
from chalkpoint.records.store import Store
from chalkpoint.setting.paperfile import papers_from

PAPERS: dict[str, Any] = {
    "schema": "chalkpoint.papers/1",
    "title": "Gauges",
    "papers": [{"variant": 1, "questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}],
}
ROWS = [
    ["student", "question", "line", "written"],
    ["H02", "1", "align", "00010100"],
    ["H02", "1", "answer", "0.1010100 0011"],
    ["H01", "9", "answer", "1"],
    ["H01", "1", "answer", "0.1010011 0011"],
]


@pytest.fixture
def papers(store: Store, teacher: str) -> str:
    """The id of papers that are kept."""
    with store.write() as db:
        return kept.keep(db, teacher, "papers", "Gauges", json.dumps(PAPERS)).id


@pytest.fixture
def handed_in() -> list[Script]:
    """Two scripts, one with a cell that could not be placed."""
    return whole_scripts(ROWS, papers_from(PAPERS))


def test_scripts_come_back_as_they_were_handed_in(
    store: Store, teacher: str, papers: str, handed_in: list[Script]
) -> None:
    """Lines keep their order, troubles their words; by pupil."""
    with store.write() as db:
        assert scripts.put_scripts(db, teacher, papers, handed_in) == 2
    with store.read() as db:
        assert list(scripts.scripts_of(db, teacher, papers)) == sorted(handed_in, key=lambda one: one.student)
        assert scripts.script_of(db, teacher, papers, "H01").troubles
        assert [(one.student, one.lines) for one in scripts.handed_in(db, teacher, papers)] == [
            ("H01", 1),
            ("H02", 2),
        ]


def test_a_script_handed_in_again_takes_the_place_of_the_one_before(
    store: Store, teacher: str, papers: str, handed_in: list[Script]
) -> None:
    """No line of the one before is left, and it is one script."""
    with store.write() as db:
        scripts.put_scripts(db, teacher, papers, handed_in)
        scripts.put_script(db, teacher, papers, Script("H02", 1, {1: {"answer": "0"}}))
    with store.read() as db:
        assert scripts.script_of(db, teacher, papers, "H02").written == {1: {"answer": "0"}}
        assert scripts.count_of(db, teacher, [papers]) == {papers: 2}


def test_many_scripts_are_read_a_few_at_a_time(store: Store, teacher: str, papers: str) -> None:
    """Past the number read at once the order and the number stay."""
    many = [
        Script(f"H{number:04}", 1, {1: {"answer": str(number)}}) for number in range(2 * scripts.AT_ONCE + 3)
    ]
    with store.write() as db:
        scripts.put_scripts(db, teacher, papers, many)
    with store.read() as db:
        assert list(scripts.scripts_of(db, teacher, papers)) == many


def test_a_deleted_script_comes_back(
    store: Store, teacher: str, papers: str, handed_in: list[Script]
) -> None:
    """It is neither listed nor marked in between."""
    with store.write() as db:
        scripts.put_scripts(db, teacher, papers, handed_in)
        scripts.delete_script(db, teacher, papers, "H01")
    with store.read() as db:
        assert [one.student for one in scripts.scripts_of(db, teacher, papers)] == ["H02"]
        assert scripts.deleted_of(db, teacher, papers) == ["H01"]
    with store.write() as db:
        scripts.restore_script(db, teacher, papers, "H01")
        assert scripts.count_of(db, teacher, [papers]) == {papers: 2}


def test_a_deleted_script_is_not_lost_unasked(
    store: Store, teacher: str, papers: str, handed_in: list[Script]
) -> None:
    """Its pupil's code handed in again is refused whole, until it is said that it goes for good."""
    with store.write() as db:
        scripts.put_scripts(db, teacher, papers, handed_in)
        scripts.delete_script(db, teacher, papers, "H01")
    again = [Script("H03", 1, {1: {"answer": "1"}}), Script("H01", 1, {1: {"answer": "0"}})]
    with pytest.raises(EntryError, match="'H01' was deleted"), store.write() as db:
        scripts.put_scripts(db, teacher, papers, again)
    with store.write() as db:
        assert scripts.codes_of(db, teacher, papers) == {"H02"}
        scripts.restore_script(db, teacher, papers, "H01")
        assert scripts.script_of(db, teacher, papers, "H01").written == handed_in[1].written
        scripts.delete_script(db, teacher, papers, "H01")
    with store.write() as db:
        scripts.put_scripts(db, teacher, papers, again, over=True)
        assert scripts.deleted_of(db, teacher, papers) == []
        assert scripts.script_of(db, teacher, papers, "H01").written == {1: {"answer": "0"}}


def test_what_would_be_lost_of_a_kept_script_is_named(
    store: Store, teacher: str, papers: str, handed_in: list[Script]
) -> None:
    """Another line or another variant is a loss; the same again, or a new pupil, is none."""
    with store.write() as db:
        scripts.put_scripts(db, teacher, papers, handed_in)
    first = handed_in[0]
    with store.read() as db:
        scripts.check_changed(db, teacher, papers, [*handed_in, Script("H09", 1, {1: {"answer": "1"}})])
        for other in (Script(first.student, 2, first.written), Script(first.student, first.variant, {})):
            with pytest.raises(EntryError, match=f"'{first.student}' is kept already"):
                scripts.check_changed(db, teacher, papers, [*handed_in[1:], other])


def test_the_list_is_given_in_parts_with_marks_beside_it(
    store: Store, teacher: str, papers: str, handed_in: list[Script]
) -> None:
    """By pupil; one who is not marked has none."""
    marker = Marker(papers_from(PAPERS))
    with store.write() as db:
        scripts.put_scripts(db, teacher, papers, handed_in)
        run = marks.keep_marks(db, teacher, papers, [marker.entry(handed_in[0])])
    with store.read() as db:
        first = scripts.handed_in(db, teacher, papers, run.id, limit=1)
        second = scripts.handed_in(db, teacher, papers, run.id, start=1)
        assert [(one.student, one.lines, one.marks) for one in (*first, *second)] == [
            ("H01", 1, None),
            ("H02", 2, marker.entry(handed_in[0])["marks"]),
        ]


def test_scripts_that_are_new_or_changed_are_not_in_a_marking(
    store: Store, teacher: str, papers: str, handed_in: list[Script]
) -> None:
    """A marking holds what it read: what is kept as of the same time is in it, what comes later is not."""
    marker = Marker(papers_from(PAPERS))
    began = now()
    with store.write() as db:
        scripts.put_scripts(db, teacher, papers, handed_in, at=began)
        run = marks.keep_marks(db, teacher, papers, map(marker.entry, handed_in), created=began)
        assert scripts.unmarked_of(db, teacher, papers, run) == 0
        scripts.put_script(db, teacher, papers, Script("H02", 1))
        scripts.put_script(db, teacher, papers, Script("H03", 1))
        assert scripts.unmarked_of(db, teacher, papers, run) == 2


def test_what_is_touched_meanwhile_is_told(
    store: Store, teacher: str, papers: str, handed_in: list[Script]
) -> None:
    """A script kept, one deleted, a marking made."""
    with store.write() as db:
        times = [now()]
        scripts.put_scripts(db, teacher, papers, handed_in)
        times.append(now())
        scripts.delete_script(db, teacher, papers, "H01")
        times.append(now())
        marks.keep_marks(db, teacher, papers, [])
        assert [scripts.touched_since(db, teacher, papers, at) for at in times] == [True, True, True]
        assert not scripts.touched_since(db, teacher, papers, now())


def test_marks_keep_the_rules_that_made_them_and_older_ones_stay(
    store: Store, teacher: str, papers: str, handed_in: list[Script]
) -> None:
    """Each marking is a run of its own, with its version; its entries come back as they were made."""
    marker = Marker(papers_from(PAPERS))
    entries = [marker.entry(script) for script in handed_in]
    with store.write() as db:
        first = marks.keep_marks(db, teacher, papers, entries[:1], rules="0.0.1 before")
    with store.write() as db:
        second = marks.keep_marks(db, teacher, papers, entries)
    with store.read() as db:
        assert [run.id for run in marks.runs_of(db, teacher, papers)] == [second.id, first.id]
        latest = marks.latest(db, teacher, papers)
        assert latest == second
        assert second.rules == marks.rules_version()
        assert list(marks.entries_of(db, second)) == json.loads(json.dumps(entries))
        assert list(marks.entries_of(db, first)) == json.loads(json.dumps(entries[:1]))
        assert marks.entry_of(db, second, "H01")["marks"] == entries[1]["marks"]
        with pytest.raises(NotKept):
            marks.entry_of(db, first, "H01")


def test_decisions_are_added_and_withdrawn_and_never_lost(store: Store, teacher: str, papers: str) -> None:
    """Of two on one line the later stands; the audit tells of all, with what stood there before."""
    about: dict[str, Any] = {"student": "H01", "question": 1, "line": "add"}
    with store.write() as db:
        overrides.decide(db, teacher, papers, **about, marks=1, reason="seen", before="0, not written")
        later = overrides.decide(db, teacher, papers, **about, marks=0, reason="looked again", before="1")
    with store.read() as db:
        assert overrides.standing(db, teacher, papers)["H01", 1, "add"].marks == 0
    with store.write() as db:
        overrides.withdraw(db, teacher, papers, later.id)
    with store.read() as db:
        assert overrides.standing(db, teacher, papers)["H01", 1, "add"].marks == 1
        assert len(overrides.decisions_of(db, teacher, papers)) == 2
        told = audit.audit_of(db, teacher, papers)
        assert [line.what for line in told] == ["decided", "decided", "withdrawn"]
        assert "not written" in told[0].before
    with pytest.raises(NotKept), store.write() as db:
        overrides.withdraw(db, teacher, papers, later.id)
    with pytest.raises(EntryError, match="reason"), store.write() as db:
        overrides.decide(db, teacher, papers, **about, marks=1, reason="")


def test_another_teacher_finds_none_of_it(
    store: Store, teacher: str, other: str, papers: str, handed_in: list[Script]
) -> None:
    """Every function that takes a teacher answers another as if nothing were there."""
    with store.write() as db:
        scripts.put_scripts(db, teacher, papers, handed_in)
    calls = (
        lambda db: list(scripts.scripts_of(db, other, papers)),
        lambda db: scripts.script_of(db, other, papers, "H01"),
        lambda db: scripts.handed_in(db, other, papers),
        lambda db: scripts.deleted_of(db, other, papers),
        lambda db: scripts.codes_of(db, other, papers),
        lambda db: scripts.unmarked_of(db, other, papers, marks.Run("", papers, "", "", 0)),
        lambda db: scripts.touched_since(db, other, papers, ""),
        lambda db: scripts.check_deleted(db, other, papers, handed_in),
        lambda db: scripts.check_changed(db, other, papers, handed_in),
        lambda db: scripts.put_scripts(db, other, papers, handed_in),
        lambda db: scripts.delete_script(db, other, papers, "H01"),
        lambda db: marks.runs_of(db, other, papers),
        lambda db: marks.keep_marks(db, other, papers, []),
        lambda db: overrides.standing(db, other, papers),
        lambda db: overrides.decide(
            db, other, papers, student="H01", question=1, line="add", marks=1, reason="x"
        ),
        lambda db: pupils.papers_of(db, other, papers),
    )
    for call in calls:
        with pytest.raises(NotKept), store.write() as db:
            call(db)
    with store.read() as db:
        assert audit.audit_of(db, other, papers) == []


def test_a_pupil_has_a_history_over_the_papers_of_a_class(
    store: Store, teacher: str, handed_in: list[Script]
) -> None:
    """The latest marks of each set of papers count, in the order they were set."""
    with store.write() as db:
        group = kept.keep(db, teacher, "class", "12 Heron", "H01\nH02").id
        marker = Marker(papers_from(PAPERS))
        for title in ("one", "two"):
            papers = kept.keep(db, teacher, "papers", title, json.dumps(PAPERS), about={"class": group}).id
            marks.keep_marks(db, teacher, papers, [marker.entry(script) for script in handed_in])
    with store.read() as db:
        assert [sitting.paper for sitting in pupils.history(db, teacher, group, "H01").sittings] == [
            "one",
            "two",
        ]
        assert pupils.history(db, teacher, group, "H09").sittings == []
