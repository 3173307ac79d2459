"""A mark of a scheme: what it is for and what is expected there; once a script is marked, what it earned and why."""

from __future__ import annotations

from dataclasses import dataclass, replace

from chalkpoint.numbers.bits import with_point
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.working.written import Row

__all__ = ["Mark"]


@dataclass(frozen=True, slots=True)
class Mark:
    """One line of a scheme, and what a script earned there.

    rule     the line it is for, or "answer" or "decimal"
    part     "mantissa" or "exponent" where the line has a mark for each
    kind     "M", "A" or "B"
    marks    how many it has
    expects  what the course's working has there
    follows  whether it follows through
    needs    marks that must be earned first
    give     what it is given for
    row      the working's row that is expected; None where no row of bits is

    given        how many a script was given
    status       right, follow-through, recovered, misconception, copied, off, implied or absent; "" before marking
    why          the reason in words
    for_teacher  whether a person should decide
    written      what the pupil wrote there
    among        beliefs whose rule gives exactly that
    was          how many were given before a teacher's decision, or None where there was none
    could        how many are given if the teacher rules for the pupil; None where nothing is to be decided
    group        what is to be decided, in words that are the same for every pupil it is alike for; or ""
    """

    rule: str
    part: str
    kind: str
    marks: int
    expects: str
    follows: bool
    needs: tuple[str, ...]
    give: str
    row: Row | None = None
    given: int = 0
    status: str = ""
    why: str = ""
    for_teacher: bool = False
    written: str = ""
    among: tuple[str, ...] = ()
    was: int | None = None
    could: int | None = None
    group: str = ""

    @property
    def says(self) -> str:
        """What is expected, as it is printed: a line of the working as its row shows it."""
        if self.row is None or not self.row.bits or self.expects == self.row.exponent_bits:
            return self.expects
        return with_point(
            (self.row.lead if self.row.lead_is == "kept" else "") + self.row.bits, self.row.places
        )

    @property
    def letter(self) -> str:
        """The mark as a scheme writes it, such as "A1 ft"."""
        return f"{self.kind}{self.marks}{' ft' if self.follows else ''}{' dep' if self.needs else ''}"

    @property
    def name(self) -> str:
        """The line, and the part of it."""
        return f"{self.rule} {self.part}".strip()

    def to_dict(self) -> JsonObject:
        """Return the mark as chalkpoint.papers/1 has it."""
        entry: JsonObject = {
            "rule": self.rule,
            "kind": self.kind,
            "marks": self.marks,
            "expects": self.expects,
            "follow_through": self.follows,
            "depends_on": list(self.needs),
        }
        return entry | ({"part": self.part} if self.part else {})

    # === Marked ===

    def marked(
        self, given: int, status: str, why: str, *, written: str = "", among: tuple[str, ...] = ()
    ) -> Mark:
        """Return the mark with what a script earned there."""
        return replace(self, given=given, status=status, why=why, written=written, among=among)

    @property
    def most(self) -> int:
        """How many are given if everything is ruled for the pupil."""
        return max(self.given, self.could) if self.for_teacher and self.could is not None else self.given

    def waits(self, group: str, why: str, *, could: int | None = None) -> Mark:
        """Return the mark with nothing given, left to the teacher, who may give *could* (all of it)."""
        could = self.marks if could is None else could
        return replace(self, given=0, why=why, for_teacher=True, could=could, group=group)

    def not_read(self, written: str = "", *, could: int | None = None) -> Mark:
        """Return the mark left to the teacher, since what is *written*, there or as the answer, cannot be read."""
        written = written or self.written
        why = f"\u201c{written}\u201d cannot be read; {self.expects} was expected."
        return replace(self, written=written).waits("cannot be read", why, could=could)
