"""What a step looks like once written: rows of bits, and the sentences beside them.

Rows hold digits and exact values; where they stand and how they are drawn is for `publishing`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

__all__ = ["Row", "Spoken", "Words", "Written"]


class Row(NamedTuple):
    """One row of a step.

    label             the label beside it: an operand's name, "before", "after", "sum", ...
    bits              mantissa digits, highest first; more of them than the format has where a
                      method keeps extra places
    places            how many of *bits* stand after the binary point
    exponent          the exponent as an integer, or None where the row has none
    exponent_bits     its digits, or "" where it is not written in bits: not yet, or because the format
                      has no bits for it (show the integer)
    lead              the digit in the extra sign place, or ""; the carry out where it is dropped
    lead_is           "dropped" for a carry that is struck out, "kept" for a place that counts, or ""
    lost              digits that fell off the right-hand end on this row, highest first
    lost_value        what they were worth at this row's exponent; negative where they were rounded up,
                      which adds its size instead
    value             the exact value of the row, or None
    moved             places the digits moved right since the row above (left when negative)
    filled            how many leading digits are copies of the sign bit
    changed           "1" under each mantissa digit that changed in this step, "0" elsewhere
    exponent_changed  the same for the exponent's digits
    soft              a row kept for comparison, such as "before"
    plus, minus       whether a plus or a minus sign stands before it
    carries           a row of carries: "1" over each column that was carried into, " " elsewhere, from the first
                      column of the rows below it (the extra sign place where that takes part); a row with
                      carries has *places* and nothing else
    held              digits that fell off on an earlier row and are still in the tray, highest first
    place_values      whether place values are written under the row
    sign              the digit of a sign field of its own, which stands before everything else, or ""
    stored            the exponent as its field stores it, where that differs from *exponent* by an excess
    unwritten         "1" over each of *bits* that the format leaves out (a hidden or implied bit), "0"
                      elsewhere; "" where all are written
    beyond            names of the last of *bits*, which the format has no room for, one letter a digit:
                      "GRS" for guard, round and sticky
    word              what stands for the value where no decimal says it: "infinity", "not a number", the
                      minus zero; "" elsewhere
    in_order          the fields of a whole pattern as they are written, such as "sign exponent fraction";
                      "" for a mantissa and then its exponent
    spoken            the row in words, for narration and screen readers
    """

    label: str
    bits: str = ""
    places: int = 0
    exponent: int | None = None
    exponent_bits: str = ""
    lead: str = ""
    lead_is: str = ""
    lost: str = ""
    lost_value: Fraction = Fraction(0)
    value: Fraction | None = None
    moved: int = 0
    filled: int = 0
    changed: str = ""
    exponent_changed: str = ""
    soft: bool = False
    plus: bool = False
    minus: bool = False
    carries: str = ""
    held: str = ""
    place_values: bool = False
    sign: str = ""
    stored: int | None = None
    unwritten: str = ""
    beyond: str = ""
    word: str = ""
    in_order: str = ""
    spoken: str = ""

    @property
    def first_column(self) -> int:
        """The column of the first of *bits*.

        >>> Row(label="invert", bits="11100011", places=7).first_column
        0
        """
        return 1 - (len(self.bits) - self.places)


@dataclass(frozen=True, slots=True)
class Spoken:
    """One sentence in words.

    key    the sentence in the catalogue, such as "align.copy"
    text   its words on the board
    heard  its words for the ear
    facts  what it states, by name
    rule   what is done, as a sentence without what comes of it; "" where the catalogue has no such part
    sum    the sum in it; "" where there is none
    """

    key: str
    text: str
    heard: str
    facts: Mapping[str, object] = field(default_factory=dict, repr=False)
    rule: str = ""
    sum: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """What is said of a step.

    title      the step's name, such as "Match the exponents"
    detail     one to three sentences: what is done here and why
    spoken     the same for the ear, then each row
    sentences  the sentences of *detail* one by one, each with its key and its words for the ear
    """

    title: str
    detail: str
    spoken: str
    sentences: tuple[Spoken, ...] = ()


@dataclass(frozen=True)
class Written:
    """A step as it is put on the board: its rows, and the words beside them, which are made when first asked for.

    rows   what is written, top to bottom
    say    makes the words
    facts  what the step came to, by name: the facts that its sentences state
    """

    rows: tuple[Row, ...]
    say: Callable[[], Words] = field(repr=False)
    facts: Mapping[str, object] = field(default_factory=dict, repr=False)

    @cached_property
    def words(self) -> Words:
        """What is said of the step."""
        return self.say()

    @property
    def sentences(self) -> tuple[Spoken, ...]:
        """The sentences of the step's detail."""
        return self.words.sentences
