"""Beliefs about reading and writing whole numbers in two's complement."""

from __future__ import annotations

from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.working.beliefs import code_places as in_codes
from chalkpoint.working.beliefs import size_reading as in_reading
from chalkpoint.working.beliefs.belief import (
    ADDING,
    EXCESS,
    FIXED,
    FLOAT,
    INTEGER,
    ONES,
    SCALING,
    SIGNED,
    STORING,
    UNSIGNED,
    AnyRule,
    Belief,
    Place,
    acts,
)
from chalkpoint.working.beliefs.integer_rules import (
    every_bit_one,
    every_bit_zero,
    multiply_unextended,
    one_and_zeros,
    read_as_decimal,
    read_as_twos,
    read_by_usual_bias,
    read_flipped,
    read_from_two,
    read_ones_complement,
    read_sign_magnitude,
    read_unsigned,
    read_without_minus,
    rewrite_as_sizes,
    size_alone,
    take_the_last_digits,
    twice,
    widen_with_zeros,
    write_as_twos,
    write_by_usual_bias,
    write_halving_short,
    write_past_the_range,
    write_remainders_downwards,
)
from chalkpoint.working.whole_values import WholeReadPage

__all__ = ["INTEGERS"]

WHOLE_NUMBERS = (INTEGER, FIXED, UNSIGNED, ONES, SIGNED, EXCESS)


def _reading(rule: AnyRule, said: str, *others: str) -> tuple[Place, ...]:
    """Return the places of a rule for one field: here the field is the whole row of bits.

    others  further families than two's complement
    """

    def read(page: WholeReadPage, fmt: FixedFormat) -> WholeReadPage:
        return page._replace(number=rule(int(page.bits, 2), fmt.bits))

    read.__name__ = f"whole_{rule.__name__}"
    return acts(("decode",), "read", read, said, INTEGER, FIXED, *others, line="weigh")


INTEGERS = (
    Belief(
        id="msb-unsigned",
        says="Every bit has a positive weight.",
        step="read integer",
        nudge="What is the sign of a pattern that starts with 1?",
        rule="The leftmost weight is negative: \u2212128 in 8 bits.",
        show="\u2212128 + 32 + 16 + 4 + 2.",
        evidence="T",
        weight=3,
        cause="reading as for unsigned numbers",
        places=_reading(read_unsigned, "Add up the weights, all positive.", ONES, SIGNED),
    ),
    Belief(
        id="binary-as-decimal",
        says="The 0s and 1s are the digits of the number.",
        step="read integer",
        nudge="How much is the second place from the right worth?",
        rule="Each place is worth twice the one to its right, not ten times.",
        show="0110 = 4 + 2.",
        evidence="T",
        weight=1,
        cause="the base overlooked",
        places=in_codes.reads(
            read_as_decimal, "Read the digits as they stand.", INTEGER, UNSIGNED, ONES, SIGNED, EXCESS
        ),
    ),
    Belief(
        id="read-sign-mag",
        says="A 1 in front means minus, and the rest is the size.",
        step="read integer",
        nudge="Does 11111111 come out as \u2212127 or \u22121?",
        rule="In two\u2019s complement the other bits keep positive weights and are added to \u2212128.",
        show="\u2212128 + 54 = \u221274.",
        evidence="R",
        weight=3,
        cause="sign and magnitude taught side by side",
        places=_reading(read_sign_magnitude, "A 1 leads, so put a minus before the rest.", ONES),
    ),
    Belief(
        id="read-ones-comp",
        says="If a 1 is in front I invert the bits and put a minus.",
        step="read integer",
        nudge="Test your rule on 11111111.",
        rule="Invert, add one, then put the minus.",
        show="Invert to 01001001 (73), add one: 74, so \u221274.",
        evidence="R",
        weight=2,
        cause="the \u201cadd one\u201d forgotten when reading",
        places=_reading(read_ones_complement, "A 1 leads, so invert every bit and put a minus.", SIGNED),
    ),
    Belief(
        id="minus-forgotten",
        says="I invert the bits, add one, and that is the number.",
        step="read integer",
        nudge="Which sign has a pattern that starts with 1?",
        rule="What inverting and adding one gives is the size; a 1 in front says that the number is negative.",
        show="Invert to 01001001, add one: 74, so \u221274.",
        evidence="R",
        weight=2,
        cause="the minus forgotten once the size is found",
        places=(
            *_reading(read_without_minus, "A 1 leads, so invert every bit and add one."),
            *in_codes.reads(size_alone, "Find the size.", ONES, SIGNED),
        ),
    ),
    Belief(
        id="flip-everything",
        says="To read two\u2019s complement I always invert and add one.",
        step="read integer",
        nudge="Look at the first bit before doing anything.",
        rule="A leading 0 is read with ordinary weights; negation is only for changing sign.",
        show="0100 1010 = 64 + 8 + 2.",
        evidence="R",
        weight=2,
        cause="\u201ctwo\u2019s complement\u201d taken as an action, not as a way of reading",
        places=_reading(read_flipped, "Invert every bit and add one; that is the size."),
    ),
    Belief(
        id="last-place-two",
        says="The weights from the right are 2, 4, 8 and so on.",
        step="read integer",
        nudge="Can your weights make an odd number?",
        rule="The last place weighs 1.",
        show="\u2026, 8, 4, 2, 1.",
        evidence="R",
        weight=1,
        cause="powers of two counted from 2^1",
        places=(
            *_reading(read_from_two, "Add up the weights, counting from 2 on the right."),
            *in_codes.reads(
                twice, "Add up the weights, counting from 2 on the right.", ONES, SIGNED, UNSIGNED
            ),
        ),
    ),
    Belief(
        id="remainders-top-down",
        says="I write the remainders in the order I get them.",
        step="write integer",
        nudge="Is your last digit right for an odd number?",
        rule="The first remainder is the units bit.",
        show="13: 1, 0, 1, 1 read upwards is 1101.",
        evidence="T",
        weight=2,
        cause="reading order",
        places=acts(
            STORING,
            "size",
            write_remainders_downwards,
            "Halve again and again, and write the remainders in the order found.",
            *WHOLE_NUMBERS,
        ),
    ),
    Belief(
        id="twos-complement-assumed",
        says="Negative numbers are in two\u2019s complement.",
        step="read integer",
        nudge="In which code are numbers written here?",
        rule="Each code has its own rule: in ones\u2019 complement no 1 is added; a size is not inverted.",
        show="In ones\u2019 complement 11111010 is \u22125.",
        evidence="T",
        weight=3,
        cause="the usual code taken for the only one",
        places=(
            *in_codes.reads(read_as_twos, "Read the bits in two\u2019s complement.", ONES, SIGNED, EXCESS),
            *in_codes.writes_code(
                write_as_twos, "Write a negative number in two\u2019s complement.", ONES, SIGNED
            ),
            *in_codes.TWOS_COMPLEMENT,
            *in_codes.ends("most negative", one_and_zeros, "Write a 1 and then 0s.", (SIGNED,)),
            *in_codes.ends("largest negative", every_bit_one, "Write a 1 in every place.", (ONES,)),
        ),
    ),
    Belief(
        id="sizes-added-as-complements",
        says="A negative number is its size with a 1 in front, and I add the columns.",
        step="add",
        nudge="Add your row of \u22127 to 7: is it zero?",
        rule="Write negative numbers in two\u2019s complement before adding columns.",
        show="\u221227 in 6 bits is 100101.",
        evidence="R",
        weight=2,
        cause="sign and magnitude mixed into two\u2019s complement",
        places=acts(
            ("add", "subtract"),
            "order",
            rewrite_as_sizes,
            "Write the size of a negative number with a 1 in front.",
            INTEGER,
            FIXED,
            line="read",
        ),
        of_values=True,
    ),
    Belief(
        id="usual-bias",
        says="The bias is one less than half the patterns.",
        step="read integer",
        nudge="Which bias does the question give?",
        rule="Take off the bias that this format has, whatever others have.",
        show="Excess 128: 10000011 is 131 \u2212 128 = 3.",
        evidence="R",
        weight=2,
        cause="the bias of another format remembered",
        places=(
            *in_codes.reads(read_by_usual_bias, "Take off the usual bias.", EXCESS),
            *in_codes.writes_code(write_by_usual_bias, "Add the usual bias.", EXCESS),
            *in_reading.USUAL_BIAS,
        ),
    ),
    Belief(
        id="most-negative-all-ones",
        says="The most negative number has a 1 in every place.",
        step="range",
        nudge="What is a row of 1s worth?",
        rule="The first place weighs most, and negative: leave the others 0.",
        show="10000000 is \u2212128; 11111111 is \u22121.",
        evidence="T",
        weight=2,
        cause="sign and size read into the code",
        places=in_codes.ends(
            "most negative", every_bit_one, "Write a 1 in every place.", (INTEGER, FIXED, ONES)
        ),
    ),
    Belief(
        id="smallest-is-zero",
        says="The smallest positive number is all zeros.",
        step="range",
        nudge="Is zero positive?",
        rule="The smallest positive number is one step above zero.",
        show="00000001.",
        evidence="C",
        weight=1,
        cause="zero counted among the positive numbers",
        places=in_codes.ends(
            "smallest positive",
            every_bit_zero,
            "Write a 0 in every place.",
            (INTEGER, FIXED, UNSIGNED, ONES, SIGNED),
        ),
    ),
    Belief(
        id="halving-stops-early",
        says="I stop halving at 2 or less and write that in front.",
        step="write integer",
        nudge="Is every digit you wrote a 0 or a 1?",
        rule="Halve until nothing is left.",
        show="2 halves to 1 remainder 0, then 1 to 0 remainder 1.",
        evidence="R",
        weight=1,
        cause="the last halvings seen as too small to matter",
        places=(Place(("encode",), {"digits": write_halving_short}, family=UNSIGNED),),
    ),
    Belief(
        id="encode-range-ignored",
        says="I write the number in binary and use the last digits that fit.",
        step="write integer",
        nudge="What is the largest number that many digits can hold?",
        rule="Compare the number with the range first; beyond it the answer is overflow.",
        show="8 bits of two\u2019s complement hold \u2212128 to 127.",
        evidence="R",
        weight=3,
        cause="no check of the range",
        places=(
            *acts(STORING, "code", write_past_the_range, "Write the last digits that fit.", *WHOLE_NUMBERS),
            *(
                Place(
                    (*ADDING, *SCALING),
                    {"past": take_the_last_digits},
                    {"read": "Take the last digits that fit."},
                    family,
                    past_range=True,
                )
                for family in (*WHOLE_NUMBERS, FLOAT)
            ),
        ),
    ),
    Belief(
        id="pad-zeros-left",
        says="Zeros in front change nothing.",
        step="widen",
        nudge="Is the wider number still negative?",
        rule="Copy the sign bit into new places on the left.",
        show="101101 becomes 11 101101.",
        evidence="T",
        weight=3,
        cause="leading zeros are harmless for unsigned numbers",
        places=(
            Place(("widen",), {"digits": widen_with_zeros}, family=INTEGER),
            *acts(
                ("multiply",),
                "product",
                multiply_unextended,
                "Put 0s in front of both rows and multiply.",
                INTEGER,
            ),
        ),
    ),
)
