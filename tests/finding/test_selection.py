"""Numbers, draws and the simplest, against every question of a small format sorted by hand."""

from collections import Counter

import pytest

from asking import normalised_pairs, term
from chalkpoint.finding.atlas import atlas_for
from chalkpoint.finding.brute import Brute
from chalkpoint.finding.case import case_of
from chalkpoint.finding.classes import classes_of
from chalkpoint.finding.find import find
from chalkpoint.finding.selection import Selection
from chalkpoint.finding.simplest import cost
from chalkpoint.numbers.formats import Pattern, parse_format
from chalkpoint.numbers.lanes import Lanes, positions
from chalkpoint.working.course import Course

SIX = Course(format="6+4")
REQUESTS = (
    (),
    ("align-shift >= 1", "lost-ones = 2", "carry-dropped"),
    ("representable-but-wrong",),
    ("align-shift >= 9", "absorbed"),
    ("exponent-underflow", "not sign-pattern = ++"),
)
Pair = tuple[Pattern, Pattern]


def order(pair: Pair) -> tuple[int, int, list[int]]:
    """Return the documented order: signed shift, larger exponent, mantissa bits from the top as aligned."""
    apart = pair[0].exponent - pair[1].exponent
    moved = max(-apart, 0), max(apart, 0)
    columns = sorted((moved[operand] - place, operand, place) for operand in (0, 1) for place in range(6))
    digits = [pair[operand].mantissa >> place & 1 for _, operand, place in columns]
    return apart, max(pair[0].exponent, pair[1].exponent), digits


@pytest.fixture(scope="module")
def selected() -> dict[tuple[str, ...], list[Pair]]:
    """Every pair of 6+4 that meets each request, looked at in lanes, in the documented order."""
    pairs = list(normalised_pairs(SIX.float_format))
    lanes = Lanes(len(pairs))
    columns = zip(*((*first, *second) for first, second in pairs), strict=True)
    first, first_exponent, second, second_exponent = map(lanes.pack, columns)
    case = case_of("subtract", SIX, Pattern(first, first_exponent), Pattern(second, second_exponent))
    met: dict[tuple[str, ...], list[Pair]] = {}
    for texts in REQUESTS[1:]:
        mask = lanes.yes
        for text in texts:
            mask &= lanes.mask(term(text, "subtract").meets(case))
        met[texts] = sorted((pairs[place] for place in positions(mask)), key=order)
    return met


@pytest.mark.parametrize("texts", REQUESTS[1:], ids=" and ".join)
def test_numbers_are_the_documented_order(
    texts: tuple[str, ...], selected: dict[tuple[str, ...], list[Pair]]
) -> None:
    """Numbers 0, 1, 2 ... are the brute-force set in the documented order, and the simplest are its simplest."""
    wanted = selected[texts]
    selection = Selection(atlas_for("subtract", SIX), [term(text, "subtract") for text in texts])
    assert selection.count == len(wanted)
    assert selection.pairs(range(selection.count)) == wanted
    ranked = sorted(range(len(wanted)), key=lambda number: (cost(*wanted[number], 6), number))
    assert [number for number, _ in selection.simplest(40)] == ranked[:40]
    assert [pair for _, pair in selection.simplest(40)] == [wanted[number] for number in ranked[:40]]


@pytest.mark.parametrize("texts", REQUESTS, ids=lambda texts: " and ".join(texts) or "anything")
def test_brute_force_gives_the_same_numbers_and_the_same_simplest(texts: tuple[str, ...]) -> None:
    """Brute force numbers and ranks the questions as the atlas does."""
    terms = [term(text, "subtract") for text in texts]
    atlas, brute = Selection(atlas_for("subtract", SIX), terms), Brute("subtract", SIX, terms)
    assert atlas.count == brute.count
    assert atlas.pairs(range(0, atlas.count, 7)) == list(brute.everything())[::7]
    assert atlas.simplest(60) == brute.simplest(60)


@pytest.mark.parametrize("size", ["6+4", "3+5", "24+8"])
def test_every_class_takes_its_questions_apart_and_together(size: str) -> None:
    """A question's bits give the question, and the question gives its bits."""
    for shift in classes_of(parse_format(size)):
        selection = Selection(atlas_for("add", Course(format=size)), ())
        ranked = selection.ranked[selection.atlas.classes.index(shift)]
        for rank in {0, ranked.count // 3, ranked.count - 1}:
            model = ranked.model(rank)
            first, second = shift.patterns(model)
            assert shift.holds(first.exponent - second.exponent)
            assert shift.model(first, second) == model


@pytest.mark.parametrize("operation", ["add", "subtract"])
def test_every_draw_meets_its_request_by_the_integer_engine(operation: str) -> None:
    """A thousand draws of 24+8 are different, repeat by seed, and do what was asked for when worked."""
    where = ["align-shift = 2..6", "lost-ones >= 2", "carry-dropped", "not exact-result"]
    found = find(operation, format="24+8", where=where)
    draws = found.draw(1000, seed=12)
    assert [draw.number for draw in draws] == [draw.number for draw in found.draw(1000, seed=12)]
    assert len({draw.number for draw in draws}) == 1000
    for draw in draws:
        first, second = (part for part in draw.given if isinstance(part, Pattern))
        case = case_of(operation, found.course, first, second)
        assert all(one.meets(case) for one in found.terms)
    working = draws[0].work()
    assert working.check.verdict != "exact"
    assert sum(loss.bits.count("1") for loss in working.losses if loss.rule == "align") >= 2


def test_draws_are_uniform() -> None:
    """Chi-squared over a space that can be listed stays within five deviations of what chance gives."""
    found = find("subtract", format="4+3", where=["representable-but-wrong"])
    size = found.count
    drawn = Counter(found.draw(1, seed)[0].number for seed in range(20 * size))
    squared = sum((drawn[number] - 20) ** 2 / 20 for number in range(size))
    freedom = size - 1
    assert abs(squared - freedom) < 5 * (2 * freedom) ** 0.5
    assert size > 50


def test_a_table_adds_up_to_the_count() -> None:
    """The counts of a table are those of its cells asked one by one, and add up to all."""
    found = find("subtract", format="6+4", where=["align-loses-bits"])
    table = found.table("shifted-operand", "lost-ones")
    assert sum(table.counts.values()) == found.count
    for (operand, lost), count in table.counts.items():
        where = ["align-loses-bits", f"shifted-operand = {operand}", f"lost-ones = {lost}"]
        assert find("subtract", format="6+4", where=where).count == count


def test_a_found_question_is_worked_as_it_stands() -> None:
    """The operands of a found question go straight to `work`."""
    import chalkpoint as cp

    found = cp.find("subtract", format="8+4", where=["lost-ones >= 1", "carry-dropped"])[100]
    working = cp.work("subtract", *found.operands, format="8+4")
    assert working.result.bits == found.result
    assert "The carry out of the sign place is dropped." in "".join(step.says for step in working.steps)
