"""The scene: columns, threads, trays and place values, before any medium."""

import pytest
from hypothesis import given, settings

import chalkpoint as cp
from chalkpoint.publishing.parts import Carries, Cell, Names, PlaceValues, Rail, Scene, Thread, Threads, Tray
from chalkpoint.publishing.scene import scene
from chalkpoint.publishing.weights import place_values
from drawn import HERON, named_workings, workings

IEEE = scene(cp.work("add", "6.5", "1.375", format="1+4+3"))
BRACKWATER = scene(cp.work("subtract", "8.875", "3.6875", course=HERON, names=("gauge", "datum")))


def block(drawn: Scene, rule: str) -> tuple[Rail, ...]:
    """Return the rails of the step called *rule*."""
    found = next(step for step in drawn.blocks if step.rule == rule)
    return tuple(item for item in found.items if isinstance(item, Rail))


def threads(drawn: Scene, rule: str) -> set[Thread]:
    """Return the threads of the step called *rule*."""
    found = next(step for step in drawn.blocks if step.rule == rule)
    return {thread for item in found.items if isinstance(item, Threads) for thread in item.threads}


def test_each_step_is_a_block_and_the_check_comes_last() -> None:
    """Numbered in order, with the step's own words."""
    assert [step.number for step in BRACKWATER.blocks] == [1, 2, 3, 4, 5]
    assert BRACKWATER.check.number == 6
    assert BRACKWATER.blocks[1].detail.startswith(
        "4 \u2212 2 = 2, so move the datum\u2019s digits right 2 places."
    )


def test_the_sign_bit_stands_in_column_0() -> None:
    """Places follow to the right, the tray after the last place kept, the extra sign place before."""
    after = block(BRACKWATER, "align")[1]
    total = block(BRACKWATER, "add")[-1]

    assert [cell.column for cell in after.cells] == list(range(10))
    assert [(cell.column, cell.digit) for cell in after.lost] == [(8, "1"), (9, "0")]
    assert (total.cells[0].column, total.cells[0].digit, total.cells[0].kind) == (-1, "1", "dropped")
    assert (BRACKWATER.first, BRACKWATER.last) == (-1, 9)


def test_digits_before_the_point_stand_left_of_column_0() -> None:
    """Fixed-point digits keep the columns of their places: 0101.01 runs from column -3 to 2."""
    size = block(scene(cp.work("encode", "5.25")), "size")[0]

    assert ([cell.column for cell in size.cells], size.point) == (list(range(-3, 3)), 0)


def test_threads_of_a_shift_to_the_right() -> None:
    """The sign is copied into two places, five digits move, the last two fall into the tray."""
    copied = {Thread(0, 0, "copied"), Thread(0, 1, "copied")}
    kept = {Thread(start, start + 2, "kept") for start in range(6)}
    fallen = {Thread(6, 8, "fallen"), Thread(7, 9, "fallen")}

    assert threads(BRACKWATER, "align") == copied | kept | fallen


def test_threads_of_a_shift_to_the_left() -> None:
    """Every digit moves but the repeated sign, which drops out."""
    assert threads(BRACKWATER, "normalise") == {Thread(start, start - 1, "kept") for start in range(1, 8)}


def test_threads_of_a_repair_start_in_the_extra_sign_place() -> None:
    """The true sign comes in from the left; nothing is copied."""
    repair = threads(scene(cp.work("add", "2.75", "3.5")), "repair")

    assert repair == {Thread(at, at + 1, "kept") for at in range(-1, 7)} | {Thread(7, 8, "fallen")}


def test_the_tray_stands_from_the_loss_to_the_end() -> None:
    """Its walls pass every later row, and its bits stand on the floor with their worth."""
    trays = [item.tray for step in BRACKWATER.blocks for item in step.items]
    start = trays.index(Tray(8, 2))

    assert trays[:start] == [None] * start
    assert trays[start:] == [Tray(8, 2)] * (len(trays) - start)
    (left,) = BRACKWATER.check.left
    assert ([cell.digit for cell in left.cells], left.worth) == (["1", "0"], "worth 0.0625")
    assert left.words == "The tray still holds one zero, worth 0.0625."


def test_a_guard_bit_cut_at_the_end_has_a_tray_of_its_own() -> None:
    """It stands further left than what was lost before: places keep their columns."""
    drawn = scene(cp.work("subtract", "01000111 0100", "00101111 0001", method="one-guard-bit"))

    assert [step.tray for step in drawn.blocks if step.rule in {"align", "cut"}] == [Tray(9, 3), Tray(8, 1)]
    assert [left.label for left in drawn.check.left] == ["left, step 3", "left, step 6"]


def test_digits_worth_nothing_leave_no_tray() -> None:
    """A lost 0 is shown on its row and forgotten."""
    drawn = scene(cp.work("add", "2.75", "3.5"))

    assert [step.tray for step in drawn.blocks] == [None] * len(drawn.blocks)
    assert [cell.digit for cell in block(drawn, "repair")[1].lost] == ["0"]


def test_rounding_up_is_a_gain() -> None:
    """The digits rounded up are not said to be worth what was added."""
    drawn = scene(cp.work("encode", "5.29", course=cp.Course(rounding="nearest")))
    kept = block(drawn, "fit")[1]

    assert kept.lost_words == "0.0225 gained"
    assert drawn.check.left[0].worth == "rounded up: 0.0225 gained"


def test_carries_stand_over_the_columns_they_were_carried_into() -> None:
    """One cell a carry."""
    carries = next(item for step in BRACKWATER.blocks for item in step.items if isinstance(item, Carries))

    assert [cell.column for cell in carries.cells] == [0, 4, 5, 6]


def test_place_values_stand_under_the_first_and_the_last_rows() -> None:
    """Below what is read, and below the answer."""
    under = [step.rule for step in BRACKWATER.blocks for item in step.items if isinstance(item, PlaceValues)]

    assert under == ["read", "normalise"]


def test_an_exponent_without_bits_is_written_as_an_integer() -> None:
    """Below the lowest: the number itself, and no cells."""
    drawn = scene(cp.work("subtract", "01000111 0100", "00001011 1010"))
    ready = block(drawn, "ready")[1]

    assert (ready.exponent, ready.exponent_text) == ((), "\u22129")


def test_an_exact_answer_needs_no_ruler() -> None:
    """There is no gap to show."""
    assert scene(cp.work("add", "2.75", "3.5")).check.ruler is None
    assert BRACKWATER.check.ruler is not None


@given(workings())
@settings(max_examples=60)
def test_no_two_cells_share_a_column(working: cp.Working) -> None:
    """Every rail runs without gaps inside the scene's grid."""
    drawn = scene(working)
    for step in drawn.blocks:
        for item in step.items:
            if isinstance(item, Rail) and item.cells:
                columns = [cell.column for cell in item.cells]
                assert columns == list(range(columns[0], columns[-1] + 1))
                assert drawn.first <= columns[0]
                assert columns[-1] <= drawn.last


def test_a_size_that_was_cut_has_no_threads() -> None:
    """Its digits are not those of the row above: 1.0101111 becomes 1.1101100, not 1.1101011."""
    drawn = scene(cp.work("subtract", "01000111 0100", "10101111 0010", method="size-and-sign"))

    assert block(drawn, "align")[1].bits == "11101100"
    assert threads(drawn, "align") == set()


def test_a_size_cut_to_nothing_has_no_copies_of_its_sign() -> None:
    """A small negative number whose size is cut away leaves 0s: they are no copies of the sign 1."""
    drawn = scene(cp.work("add", "01000000 0100", "10100000 1000", method="size-and-sign"))
    after = block(drawn, "align")[1]

    assert after.bits == "00000000"
    assert not any(cell.copied for cell in after.cells)


@given(workings())
@settings(max_examples=100)
def test_threads_join_equal_digits(working: cp.Working) -> None:
    """What a thread leads to is what it came from."""
    for step in scene(working).blocks:
        for above, between, below in zip(step.items, step.items[1:], step.items[2:], strict=False):
            if isinstance(above, Rail) and isinstance(between, Threads) and isinstance(below, Rail):
                start = {cell.column: cell.digit for cell in above.cells}
                end = {cell.column: cell.digit for cell in below.cells}
                assert all(start[one.start] == end[one.end] for one in between.threads)


def test_a_sign_of_its_own_stands_before_everything() -> None:
    """One column for it and one for a plus sign; the exponent left of the size, as it is written."""
    (first, *_) = block(IEEE, "unpack")

    assert (IEEE.sign, IEEE.sign_inside, IEEE.before, IEEE.after) == (2, False, 4, 0)
    assert ([cell.digit for cell in first.sign], first.exponent_first) == (["0"], True)


def test_the_fraction_stands_under_the_places_of_the_size() -> None:
    """Its first digit in column 1, whether the hidden one is written before it or not."""
    rails = block(IEEE, "unpack")

    assert [rail.cells[0].column for rail in rails] == [1, 1, 0, 0]
    assert [rail.cells[0].unwritten for rail in rails] == [False, False, True, True]


def test_hidden_guard_round_and_sticky_places_are_named() -> None:
    """Above the rows of the step, once."""
    items = next(step for step in IEEE.blocks if step.rule == "align").items
    named = [item for item in items if isinstance(item, Names)]

    assert named == [Names(names=((0, "hidden"), (4, "G"), (5, "R"), (6, "S")))]
    assert items[0] == named[0]


def test_an_exponent_with_an_excess_is_told_both_ways() -> None:
    """The exponent that counts, and the number that is stored; an infinity's counts as none."""
    special = scene(cp.work("decode", "1 1111 000", format="1+4+3"))

    assert block(IEEE, "unpack")[0].note == "exponent 2, stored 9"
    assert [(rail.value, rail.note) for rail in block(special, "sign")] == [("\u2212infinity", "stored 15")]


def test_minus_zero_keeps_its_sign() -> None:
    """In the column of values."""
    assert block(scene(cp.work("decode", "1 0000 000", format="1+4+3")), "sign")[0].value == "\u22120"


def test_rounding_leaves_its_bits_in_the_tray() -> None:
    """Guard, round and sticky bits fall, and what they were worth is exact."""
    (left,) = IEEE.check.left

    assert ("".join(cell.digit for cell in left.cells), left.worth) == ("110", "rounded up: 0.125 gained")


def test_a_converted_number_has_its_exponent_on_both_sides() -> None:
    """Where each format writes it; the sizes keep their columns."""
    drawn = scene(cp.work("convert", "-0.1", "8+4", format="1+4+3"))

    assert (drawn.before, drawn.after) == (4, 4)
    assert block(drawn, "sign")[0].exponent_first
    assert not block(drawn, "store-exponent")[0].exponent_first


def test_whole_numbers_have_their_own_place_values() -> None:
    """Under what is read: the first place counts against the others in two's complement only."""
    firsts = {}
    for spelling in ("8", "8 unsigned", "8 ones-complement", "Q5.3"):
        drawn = scene(cp.work("decode", "01000001", format=spelling))
        values = next(item for step in drawn.blocks for item in step.items if isinstance(item, PlaceValues))
        firsts[spelling] = values.weights[0].top
    assert firsts == {
        "8": "\u2212128",
        "8 unsigned": "128",
        "8 ones-complement": "\u2212127",
        "Q5.3": "\u221216",
    }


@given(named_workings())
@settings(max_examples=100)
def test_no_column_is_used_twice_in_any_format(working: cp.Working) -> None:
    """Rails run without gaps inside the grid, exponents within the columns kept for them."""
    drawn = scene(working)
    for step in drawn.blocks:
        for rail in (item for item in step.items if isinstance(item, Rail)):
            columns = [cell.column for cell in rail.cells]
            assert columns == sorted(set(columns))
            assert all(drawn.first <= column <= drawn.last for column in columns)
            assert len(rail.exponent) <= (drawn.before if rail.exponent_first else drawn.after)


def test_a_size_rounded_up_is_a_gain() -> None:
    """0.1 is stored as 0.1015625 in 1+4+3: what its digits gained is not called lost."""
    (rounded,) = block(scene(cp.work("encode", "0.1", format="1+4+3")), "round")

    assert (rounded.value, rounded.lost_words) == ("0.1015625", "0.0015625 gained")


def test_a_row_with_its_middle_left_out_keeps_its_value() -> None:
    """Fixed point of 128 bits is too long to be written whole; its value is still the pattern's own."""
    working = cp.work("decode", "01" + "0" * 126, format="Q1.127")

    assert block(scene(working), "weigh")[0].value == "0.5"


@pytest.mark.parametrize(
    ("columns", "labelled"),
    [
        (8, [0, 1, 2, 3, 4, 5, 6, 7]),
        (24, [0, 4, 8, 12, 16, 20, 23]),
        (14, [0, 4, 8, 13]),  # 2^-12 would stand against 2^-13
        (53, [0, 4, 8, 12, 16, 20, 24, 28, 32, 36, 40, 44, 48, 52]),
    ],
)
def test_the_last_place_has_its_value(columns: int, labelled: list[int]) -> None:
    """Also where long rows have every fourth place's only."""
    below = place_values([Cell(column, "0") for column in range(columns)], [])

    assert [weight.column for weight in below.weights] == labelled


def test_many_long_threads_are_thinned() -> None:
    """Twenty digits that fall twenty places would run into one blot; the first and the last are drawn."""
    drawn = scene(cp.work("add", "1234.567", "0.00123", format="24+8"))
    (threads,) = [item for block in drawn.blocks for item in block.items if isinstance(item, Threads)]
    fallen = [thread for thread in threads.threads if thread.kind == "fallen"]

    assert len(fallen) <= 4
    assert [fallen[0].end, fallen[-1].end] == [24, 43]
