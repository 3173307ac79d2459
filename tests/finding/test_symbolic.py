"""Numbers of many questions, in diagrams and in lanes, against plain integers."""

from collections.abc import Callable
from typing import Any

import pytest

from chalkpoint.finding.diagram import Table
from chalkpoint.finding.measures import has_run, ones, ones_at_least, reads_the_same
from chalkpoint.finding.pick import by_number, pick
from chalkpoint.numbers.carriers import fits, larger, opposite, sign_copies, smaller, toward_zero, where, wrap
from chalkpoint.numbers.lanes import Lanes
from chalkpoint.numbers.symbolic import Condition, as_bit, as_row, integer

BITS = 4
NUMBERS = range(-8, 8)


def both_numbers() -> tuple[Table, Any, Any]:
    """Return a table with two independent four-bit integers, their bits interleaved."""
    table = Table(2 * BITS)
    first = integer(table, [table.bit(2 * (BITS - 1 - place)) for place in range(BITS)])
    second = integer(table, [table.bit(2 * (BITS - 1 - place) + 1) for place in range(BITS)])
    return table, first, second


def value(table: Table, edge: int, a: int, b: int) -> bool:
    """Return what a diagram says of the numbers *a* and *b*."""
    while edge > 1:
        node = edge >> 1
        place = BITS - 1 - table.level[node] // 2
        number = b if table.level[node] % 2 else a
        edge = (table.high if number >> place & 1 else table.low)[node] ^ (edge & 1)
    return bool(edge)


def seen(table: Table, result: Any, a: int, b: int) -> int:
    """Return a symbolic result for the numbers *a* and *b*."""
    if isinstance(result, bool | Condition):
        return int(value(table, as_bit(table, result), a, b))
    row = [value(table, edge, a, b) for edge in as_row(table, result)]
    return sum(bit << place for place, bit in enumerate(row[:-1])) - (row[-1] << (len(row) - 1))


OPERATIONS: dict[str, Callable[[Any, Any], Any]] = {
    "add": lambda a, b: a + b,
    "add a constant": lambda a, b: 5 + a,
    "subtract": lambda a, b: a - b,
    "subtract from a constant": lambda a, b: 3 - b,
    "negate": lambda a, b: -a,
    "multiply by a constant": lambda a, b: a * 5 - b * -3,
    "invert": lambda a, b: ~a,
    "and": lambda a, b: a & b,
    "and a mask": lambda a, b: a & 5,
    "or": lambda a, b: a | b,
    "differ": lambda a, b: a ^ b,
    "shift left": lambda a, b: a << 2,
    "shift right": lambda a, b: a >> 2,
    "shift left by a number": lambda a, b: a << (b & 3),
    "shift right by a number": lambda a, b: a >> (b & 3),
    "shift a constant": lambda a, b: (5 << (a & 3)) + (-9 >> (b & 3)),
    "less": lambda a, b: a < b,
    "less or equal": lambda a, b: a <= b,
    "greater": lambda a, b: a > b,
    "greater or equal": lambda a, b: a >= b,
    "less than a constant": lambda a, b: a < 3,
    "equal": lambda a, b: a == b,
    "unequal": lambda a, b: a != b,
    "equal low digits": lambda a, b: (a + b) & 3 == 0,
    "conditions joined": lambda a, b: ((a < b) & (a > 0)) | (b == 2),
    "conditions differ": lambda a, b: (a < b) ^ (a < 0),
    "conditions equal": lambda a, b: (a < b) == (a < 0),
    "chosen": lambda a, b: where(a < b, a, b + 1),
    "chosen condition": lambda a, b: where(a < b, a == 0, b == 0),
    "opposite": lambda a, b: opposite(a < b),
    "larger": larger,
    "smaller": smaller,
    "fits": lambda a, b: fits(a + b, BITS),
    "sign copies": lambda a, b: sign_copies(a, BITS),
    "toward zero": lambda a, b: toward_zero(a, b & 3),
    "wrap": lambda a, b: wrap(a + b, BITS),
    "ones": lambda a, b: ones(a, BITS),
    "ones at least": lambda a, b: ones_at_least(3, (a, BITS), (b, BITS)),
    "a run": lambda a, b: has_run(a & 15, 2),
    "a long run": lambda a, b: has_run((a & 15) | ((b & 15) << 4), 5),
    "reads the same": lambda a, b: reads_the_same(a, BITS),
    "picked": lambda a, b: pick(a, -8, [number * number for number in NUMBERS]),
    "by number": lambda a, b: by_number(a, -8, 7, lambda number: b < number),
}


PAIRS = [(a, b) for a in NUMBERS for b in NUMBERS]
IN_LANES = OPERATIONS | {
    "multiply": lambda a, b: a * b,
    "divide": lambda a, b: a // where(b < 1, 7, b),
    "divide a constant": lambda a, b: 1000 // where(b < 1, 7, b),
    "by number in lanes": lambda a, b: by_number(a, -8, 7, lambda number: number * b),
}


@pytest.mark.parametrize("name", IN_LANES)
def test_every_pair_in_lanes(name: str) -> None:
    """An operation in lanes is that operation on each pair."""
    lanes = Lanes(len(PAIRS))
    first, second = lanes.pack([a for a, _ in PAIRS]), lanes.pack([b for _, b in PAIRS])
    assert lanes.unpack(IN_LANES[name](first, second)) == [IN_LANES[name](a, b) for a, b in PAIRS]


@pytest.mark.parametrize("name", OPERATIONS)
def test_every_pair_of_integers_at_once(name: str) -> None:
    """An operation on every integer at once is that operation on each of them."""
    table, first, second = both_numbers()
    result = OPERATIONS[name](first, second)
    for a in NUMBERS:
        for b in NUMBERS:
            assert seen(table, result, a, b) == OPERATIONS[name](a, b), (a, b)


def test_constants_come_back_plain() -> None:
    """What does not depend on the question is a plain int or bool again."""
    _, first, _ = both_numbers()
    assert type(first - first) is int
    assert (first == first + 1) is False
    assert (first < 100) is True


def test_a_condition_is_never_asked_for_its_truth() -> None:
    """`if` on every question at once is refused."""
    _, first, second = both_numbers()
    with pytest.raises(TypeError, match="neither true nor false"):
        bool(first < second)
    with pytest.raises(TypeError, match="neither zero nor not"):
        bool(first)
