"""A class summed up: facility, discrimination, beliefs, what waits."""

import pytest

from chalkpoint.marking.answers import scripts
from chalkpoint.marking.classes import mark_scripts
from chalkpoint.marking.summary import SAMPLE, QuestionCount, Summary
from heron import papers_of, table_by

PAPERS = papers_of()


def summary_of(pupils: dict[str, tuple[str, ...]]) -> Summary:
    """Return the summary of a class."""
    summary = Summary(PAPERS)
    for entry in mark_scripts(PAPERS, scripts(table_by(PAPERS, pupils), PAPERS)):
        summary.add(entry)
    return summary


@pytest.fixture(scope="module")
def heron() -> Summary:
    """A class in which most take the first number from the second as a sum."""
    return summary_of({"Fenn": (), "Gwil": (), **{f"Pupil {at}": ("sub-adds",) for at in range(4)}})


def test_facility_and_discrimination() -> None:
    """Two pupils with 0 and 2 of 2 who rank alike on the rest: half the marks, full discrimination."""
    count = QuestionCount(1, "add", 2)
    count.add(0, 3)
    count.add(2, 9)
    assert (count.mean, count.facility) == (1, 0.5)
    assert count.discrimination == pytest.approx(1)


def test_no_discrimination_where_nothing_varies() -> None:
    """A question all get right discriminates nothing."""
    count = QuestionCount(1, "add", 2)
    count.add(2, 3)
    count.add(2, 9)
    assert count.discrimination is None


def test_a_shared_belief_points_to_the_lesson(heron: Summary) -> None:
    """A belief of more than half of the class is said to point to the lesson."""
    (count,) = heron.most_common()
    assert (count.among, count.pupils) == (("sub-adds",), 4)
    assert heron.shared_by_most(count)


def test_evidence_is_kept(heron: Summary) -> None:
    """Beside a belief stand answers that show it, as written and as expected."""
    shown = heron.most_common()[0].shown
    assert shown
    assert all(written != expected for _, _, written, expected in shown)


def test_like_stands_beside_like_and_each_once(heron: Summary) -> None:
    """Answers whole on both sides, as many fields on each; what all four wrote alike stands once."""
    shown = heron.most_common()[0].shown
    assert len(set(shown)) == len(shown) > 1
    assert all(len(written.split()) == len(expected.split()) == 2 for _, _, written, expected in shown)


def test_the_sample_is_bounded() -> None:
    """However many pupils there are, a second marker is given a few."""
    summary = summary_of({f"Pupil {at}": () for at in range(20)})
    assert len(summary.sample) == SAMPLE
    assert summary.pupils == 20
