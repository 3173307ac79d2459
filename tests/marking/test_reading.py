"""What pupils write, read."""

from fractions import Fraction

import pytest

from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.patterns import Reading, part_fields, read_pattern
from chalkpoint.marking.reading import asks_for_bits, opposite_row, read_place, values_in
from chalkpoint.marking.rows import is_pattern, shows_bits, sized_values
from chalkpoint.numbers.formats import FloatFormat, Pattern, parse_format
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

SCHOOL = parse_format("8+4")
ADD = ask("add", "2.75", "-1.5", course=Course())


def read(text: str, fmt: FloatFormat = SCHOOL) -> Reading:
    """Return *text* read as a row in *fmt*."""
    return read_pattern(plain_text(text), fmt)


@pytest.mark.parametrize(
    ("text", "digits", "exponent"),
    [
        ("0.1101000 0011", "0.1101000", "0011"),
        ("0.110 1000 0011", "0.1101000", "0011"),
        ("011010000011", "01101000", "0011"),
        ("0110_1000", "01101000", ""),
        ("0.1101000 × 2^-3", "0.1101000", "-3"),
        ("0.1101000 x 2\u207b\u00b3", "0.1101000", "-3"),
        ("0.1101000, E = 3", "0.1101000", "3"),
        ("100111111 0011", "100111111", "0011"),
    ],
)
def test_mantissa_and_exponent_are_told_apart(text: str, digits: str, exponent: str) -> None:
    """By spaces, lengths, powers and labels."""
    entry = read(text, SCHOOL)
    assert (entry.digits, entry.exponent) == (digits, exponent)


def test_the_exponent_may_come_first() -> None:
    """In a format that writes it so."""
    entry = read("0011 01101000", parse_format("8+4", exponent_first=True))
    assert (entry.digits, entry.exponent) == ("01101000", "0011")


def test_a_digit_in_brackets_is_a_carry() -> None:
    """It leads and is no digit of the row."""
    entry = read("(1)0.1010100", SCHOOL)
    assert (entry.lead, entry.digits) == ("1", "0.1010100")


@pytest.mark.parametrize("text", ["0xD43", "D43", "D43h", "d43"])
def test_hexadecimal(text: str) -> None:
    """It stands for a pattern."""
    entry = read(text, SCHOOL)
    assert (entry.digits, entry.exponent, entry.hexadecimal) == ("11010100", "0011", True)


def test_a_decimal_is_no_hexadecimal() -> None:
    """12 is twelve."""
    assert read("12", SCHOOL).value == 12


@pytest.mark.parametrize("text", ["Overflow", "overflow.", "overflows"])
def test_words(text: str) -> None:
    """Spelt in several ways."""
    (one,) = read_place(ADD, "answer", text)
    assert one.word == "overflow"


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("overflow; 1000 1001", ["overflow", "1000 1001"]),
        ("overflow, 10001001", ["overflow", "10001001"]),
        ("10001001 (overflow)", ["10001001", "overflow"]),
        ("0.1010100 0011", ["0.1010100 0011"]),
    ],
)
def test_a_verdict_and_a_pattern_are_two(text: str, parts: list[str]) -> None:
    """Whichever comes first."""
    assert [one.text for one in read_place(ADD, "answer", text)] == parts


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("11011000", True),
        ("1.1011", True),
        ("111.1011", True),
        ("11011", True),
        ("1111011000", True),
        ("1.1010", False),
        ("0.1011", False),
    ],
)
def test_a_row_in_working(written: str, shown: bool) -> None:
    """Sign copies and zeros may be added or left out."""
    assert shows_bits(written, "11011000") is shown


def test_as_many_copies_of_the_sign_as_anyone_writes() -> None:
    """Eight more are copies as one is; a digit that is no copy is none."""
    assert shows_bits("11111111" + "11011000", "11011000")
    assert not shows_bits("11110111" + "11011000", "11011000")


def test_a_pattern_run_together_is_that_pattern_and_no_other() -> None:
    """Mantissa then exponent, as 8+4 writes it; one bit off is another."""
    assert is_pattern(Reading("", digits="011010000011"), Pattern(104, 3), SCHOOL)
    assert not is_pattern(Reading("", digits="011010000010"), Pattern(104, 3), SCHOOL)


def test_brackets_around_all_of_it_say_nothing() -> None:
    """Once or twice."""
    for text in ("(0.1101000 0011)", "[(0.1101000 0011)]"):
        entry = read(text)
        assert (entry.digits, entry.exponent) == ("0.1101000", "0011"), text


def test_both_sides_of_an_equals_sign_are_read() -> None:
    """The pattern and its value: 0.1010000 x 2^1 is 5/8 x 2."""
    entries = read_place(ADD, "answer", "0.1010000 0001 = 1.25")
    assert entries[0].digits == "0.1010000"
    assert entries[-1].value == Fraction(5, 4)


def test_an_exponent_far_out_is_read_as_far_as_it_could_be_meant() -> None:
    """4 x 2^8 = 1024 for an exponent of four bits; digits are never shifted further."""
    assert Reading("", exponent="1024").exponents(SCHOOL) == {1024}
    assert Reading("", exponent="1025").exponents(SCHOOL) == set()


def test_an_answer_of_as_many_digits_as_a_mantissa_has_both_fields_all_the_same() -> None:
    """0.110 0011 is 3/4 x 2^3, zeros left off; without the point it is a mantissa in fours."""
    (entry,) = read_place(ADD, "answer", "0.110 0011")
    assert (entry.digits, entry.exponent) == ("0.110", "0011")
    (entry,) = read_place(ADD, "answer", "0110 0011")
    assert (entry.digits, entry.exponent) == ("01100011", "")


@pytest.mark.parametrize(("text", "taken"), [("0x6A3", True), ("0x06A35", True), ("0x06A350", False)])
def test_hexadecimal_digits_are_a_pattern_only_as_far_as_one_may_be_too_many(text: str, taken: bool) -> None:
    """8+4 has three digits; five are two too many, and six are no pattern any more."""
    assert read(text).hexadecimal is taken


@pytest.mark.parametrize(
    ("text", "digits", "exponent"),
    [("-0.1110000", "1.0010000", ""), ("-(0.0110) x 2^-3", "1.1010", "-3"), ("0.1110000", "0.1110000", "")],
)
def test_a_size_with_a_minus_before_it_is_a_row_in_twos_complement(
    text: str, digits: str, exponent: str
) -> None:
    """On a line of working: -7/8 = 1.0010000, and -3/8 = 1.1010."""
    (found,) = read_place(ADD, "negate", text)
    assert (found.digits, found.exponent) == (digits, exponent)


def test_hexadecimal_digits_have_up_to_three_zeros_in_front() -> None:
    """0x153 is 0001 0101 0011, and 6+4 has ten digits; a 1 among those in front is part of the row."""
    found = read("0x153", parse_format("6+4"))
    assert (found.digits, found.exponent) == ("010101", "0011")
    assert read("0x953", parse_format("6+4")).bare.startswith("100101")


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("1.5/4", [Fraction(3, 8)]),
        ("1/4.5", [Fraction(2, 9)]),
        ("0.1/0.2", [Fraction(1, 10), Fraction(1, 5)]),
    ],
)
def test_two_decimals_with_a_stroke_between_are_two_values(text: str, values: list[Fraction]) -> None:
    """With one whole number they are a quotient."""
    assert values_in(text) == values


def test_a_row_without_a_point_has_an_opposite_without_one() -> None:
    """01110 is 14, and 10010 is -14 in five places."""
    assert opposite_row("01110") == "10010"


def test_a_row_with_another_1_behind_it_is_another_row() -> None:
    """11011000 may have zeros behind it or copies of its sign in front, and nothing else."""
    longer = ("110110000", "111011000", "110110001", "011011000")
    assert [shows_bits(row, "11011000") for row in longer] == [True, True, False, False]


def test_a_row_with_two_digits_before_its_point_may_have_more_copies_of_the_sign() -> None:
    """10.10 is -1.5, and so is 110.10; 010.10 is 2.5."""
    assert [shows_bits(row, "1010", places=2) for row in ("10.10", "110.10", "010.10")] == [True, True, False]


def test_a_size_is_read_behind_the_last_equals_sign() -> None:
    """In 0.5 - 0.96875 = -0.01111 the size is 0.01111, 15/32."""
    assert sized_values(Reading("0.5 - 0.96875 = -0.01111")) == {Fraction(-15, 32)}


def test_fields_may_be_in_the_order_that_the_course_has_not() -> None:
    """Where the exponent comes first, eight digits and then four are the mantissa and the exponent all the same."""
    fmt = parse_format("8+4", exponent_first=True)
    assert part_fields("01010100 0011", fmt) == ("01010100", "0011", True)
    assert part_fields("0011 01010100", fmt) == ("01010100", "0011", False)


@pytest.mark.parametrize(
    ("operation", "operands", "line", "bits"),
    [
        ("error", ("4.6",), "answer", True),
        ("error", ("4.6",), "fit", True),
        ("error", ("4.6",), "absolute", False),
        ("add", ("1.5", "2.25"), "add", True),
        ("decode", ("01010100 0011",), "answer", False),
        ("decode", ("01010100 0011",), "mantissa", False),
    ],
)
def test_a_line_holds_bits_or_a_number(
    operation: str, operands: tuple[str, ...], line: str, bits: bool
) -> None:
    """What decoding writes are numbers, and so is what storing costs."""
    assert asks_for_bits(ask(operation, *operands, course=Course()), line) == bits
