"""Decision diagrams, against truth tables."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.finding.diagram import NO, YES, Edge, Table, TooLargeError
from chalkpoint.finding.forest import Forest, harvest
from chalkpoint.finding.ranking import Ranked

VARIABLES = 4
ROWS = 1 << VARIABLES
tables = st.integers(0, (1 << ROWS) - 1)


def build(table: Table, truth: int, level: int = 0, row: int = 0) -> Edge:
    """Return the diagram of a truth table given as one bit a row."""
    if level == VARIABLES:
        return truth >> row & 1
    low = build(table, truth, level + 1, row << 1)
    return table.make(level, low, build(table, truth, level + 1, row << 1 | 1))


def rows(table: Table, edge: Edge) -> int:
    """Return the truth table of a diagram."""
    truth = 0
    for row in range(ROWS):
        at = edge
        while at > 1:
            node = at >> 1
            taken = table.high if row >> (VARIABLES - 1 - table.level[node]) & 1 else table.low
            at = taken[node] ^ (at & 1)
        truth |= at << row
    return truth


@given(tables, tables, tables)
def test_operations_are_those_of_the_truth_tables(f: int, g: int, c: int) -> None:
    """`both`, `differ`, `either` and `choose` agree with truth tables, row by row."""
    table = Table(VARIABLES)
    one, two, three = build(table, f), build(table, g), build(table, c)
    every = (1 << ROWS) - 1
    assert rows(table, table.both(one, two)) == f & g
    assert rows(table, table.differ(one, two)) == f ^ g
    assert rows(table, table.either(one, two)) == f | g
    assert rows(table, table.choose(three, one, two)) == (c & f) | (~c & every & g)


@given(tables, tables)
def test_equal_conditions_are_one_edge(f: int, g: int) -> None:
    """A condition has one diagram only, whichever way it was made."""
    table = Table(VARIABLES)
    one, two = build(table, f), build(table, g)
    assert (one == two) == (f == g)
    assert table.both(one, two) == build(table, f & g)


@given(tables)
def test_counts_and_ranks_list_every_row(f: int) -> None:
    """The count is the number of rows, and the ranks give them in order."""
    table = Table(VARIABLES)
    ranked = Ranked(table, build(table, f))
    wanted = [row for row in range(ROWS) if f >> row & 1]
    assert ranked.count == len(wanted)
    assert [ranked.model(rank) for rank in range(ranked.count)] == wanted


@given(tables, tables)
def test_a_forest_survives_bytes_and_planting(f: int, g: int) -> None:
    """Diagrams taken out, written, read and planted elsewhere say the same."""
    table = Table(VARIABLES)
    forest, end = Forest.from_bytes(data := harvest(table, [build(table, f), build(table, g)]).to_bytes())
    assert end == len(data)
    other = Table(VARIABLES)
    other.bit(2)
    assert [rows(other, edge) for edge in forest.plant(other)] == [f, g]


def test_a_table_refuses_to_outgrow_its_limit() -> None:
    """Past the nodes allowed the diagram is given up."""
    table = Table(VARIABLES, most=2)
    with pytest.raises(TooLargeError):
        build(table, 0b0110_1001_1001_0110)


def test_the_ends_are_opposites() -> None:
    """Yes and no are each other's opposite."""
    assert YES ^ 1 == NO
