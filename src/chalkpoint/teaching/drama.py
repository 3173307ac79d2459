"""How a teacher goes through one step: what is said, in order, and what stands on the board meanwhile.

A step that has a drama of its own is told by it; any other is told in whole steps, from its own sentences.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from chalkpoint.numbers.families import SIZES
from chalkpoint.teaching import english as say
from chalkpoint.teaching.seen import (
    Column,
    Shift,
    columns_added,
    estimate,
    first_column,
    inverted,
    ones_carried,
    runs,
    shift,
    told_value,
    working_rows,
)
from chalkpoint.teaching.storyboard import CORE, DETAIL, ESSENTIAL, USUAL, Cells, Moment
from chalkpoint.working.methods import METHODS
from chalkpoint.working.multiplying import CUTS
from chalkpoint.working.page import Page
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.said import with_article
from chalkpoint.working.working import Working
from chalkpoint.working.written import Row

__all__ = ["Line", "Told", "checking", "drama", "has_drama", "summing_up"]

IN_FULL = 12  # columns said one by one; of longer rows only the first few are
FIRST_FEW = 6


@dataclass(frozen=True, slots=True)
class Line:
    """One thing said, or asked and left to the class for some *seconds*.

    moment  what of the picture stands meanwhile
    weight  how much it matters
    """

    text: str
    moment: Moment | None = None
    weight: int = USUAL
    seconds: int = 0


@dataclass(frozen=True, slots=True)
class Told:
    """A step told.

    opening  said before any new row is written
    doing    said while rows are written, each by its moment; the last leaves everything in view
    """

    opening: list[Line]
    doing: list[Line]


TOLD = {"add", "subtract", "multiply", "divide", "normalise", "negate"}


def has_drama(working: Working) -> bool:
    """Tell whether *working*'s steps are told digit by digit: right working with a two's complement mantissa."""
    if working.faulty or working.question.operation.name not in TOLD:
        return False
    by_rows = working.method in METHODS or working.method in CUTS or not working.method
    return by_rows and all(isinstance(step.after, Page) for step in working.steps)


def drama(working: Working, index: int) -> Told | None:
    """Return how step *index* is told, or None where it is told in whole steps."""
    step = working.steps[index]
    teller = _Drama(working, step)
    tell: Callable[[], Told | None] | None = getattr(teller, f"tell_{step.rule}", None)
    return tell() if tell and has_drama(working) else None


class _Drama:
    """Tells one step; a method of it for each rule."""

    def __init__(self, working: Working, step: Step) -> None:
        self.working = working
        self.step = step
        self.point = working.question.course.point

    def value(self, x: Fraction | int | None) -> str:
        """Return an exact value as it is said."""
        return told_value(Fraction(x or 0), self.point)

    # === Reading ===

    def tell_read(self) -> Told | None:
        """Point at both exponents."""
        rows, page, question = working_rows(self.step), self.step.after, self.working.question
        if len(rows) == 1:
            return Told([], [Line(say.HERE_IT_IS, weight=ESSENTIAL)])
        lines = [Line(say.HERE_THEY_ARE, weight=ESSENTIAL)]
        names = question.names or ("first", "second")
        for name, value, given in zip(names, question.values, question.given, strict=True):
            if given is not None and given != value:
                said = say.STORED.format(
                    name=with_article(name, "The"), given=self.value(given), stored=self.value(value)
                )
                lines.append(Line(said, weight=USUAL))
        if page.first and page.second and all(row.exponent_bits for _, row in rows):
            both = say.EXPONENTS_ARE.format(
                first=self.value(page.first_exponent), second=self.value(page.second_exponent)
            )
            lines.append(Line(both, Moment(exponents=(rows[0][0], rows[1][0]))))
        return Told([], lines)

    # === Matching ===

    def tell_align(self) -> Told | None:
        """Say why the exponents must match, move the digits, and tell what fell."""
        page, moved = self.step.before, shift(self.step)
        if page.first == 0 or page.second == 0:
            return Told([], [Line(say.ZERO_TAKES, weight=CORE)])
        if page.first_exponent == page.second_exponent:
            return Told([], [Line(say.ALREADY_MATCH, weight=CORE)])
        if moved is None or len(working_rows(self.step)) != 2:
            return None
        low, high = sorted((page.first_exponent, page.second_exponent))
        look = Moment(exponents=(moved.row - 1,), written=(self._nothing(moved),))
        blank = Moment(written=(self._nothing(moved),))
        asked = say.WHICH_FALL if moved.sign == "0" else say.WHAT_FILLS
        opening = [
            Line(say.MUST_MATCH, look, ESSENTIAL),
            Line(say.SMALLER_RISES.format(low=self.value(low), high=self.value(high)), look, DETAIL),
            Line(
                say.SO_MOVE.format(places=say.count(moved.places), places_words=say.places(moved.places)),
                blank,
                CORE,
            ),
            Line(asked, blank, DETAIL, seconds=6),
        ]
        return Told(opening, [*self._fallen(moved), Line(self._become(moved), weight=USUAL)])

    def _nothing(self, moved: Shift) -> Cells:
        return Cells(moved.row, 1, 0)

    def _fallen(self, moved: Shift) -> Iterator[Line]:
        if not self.step.after.extra and moved.places >= self.working.question.format.places:
            yield Line(say.ONLY_SIGN_LEFT)
        else:
            yield Line(say.SIGN_FILLS.format(sign=say.BITS[moved.sign]), weight=USUAL)
        if moved.worth:
            lost = say.capital(say.listed([say.BITS.get(bit, bit) for bit in moved.lost]))
            if len(moved.lost) > 4:
                lost = f"{say.capital(say.count(len(moved.lost)))} bits"
            yield Line(say.INTO_TRAY.format(lost=lost, worth=self.value(abs(moved.worth))), weight=CORE)
        elif moved.lost:
            yield Line(say.ONLY_NOUGHTS, weight=CORE)

    def _become(self, moved: Shift) -> str:
        before, after = moved.before.value, moved.after.value
        if before == after:
            return say.STILL.format(after=self.value(after))
        return say.HAS_BECOME.format(before=self.value(before), after=self.value(after))

    # === Negating ===

    def tell_negate(self) -> Told | None:
        """Invert bit by bit under the row, then add the one with its carries."""
        pair = inverted(self.step)
        if pair is None:
            return None
        turned, new = self.step.rows[pair[0]], self.step.rows[pair[1]]
        start, end = first_column(turned), turned.places
        none = (Cells(pair[0], 1, 0), Cells(pair[1], 1, 0))
        taken = self.working.question.operation.name == "subtract"
        opening = [Line(say.ADD_OPPOSITE if taken else say.OPPOSITE, Moment(written=none), ESSENTIAL)]
        if turned.lead:
            opening.append(Line(say.EXTRA_PLACE, Moment(written=none)))
        doing = [Line(say.INVERT, Moment(written=(Cells(pair[1], 1, 0),)), CORE)]
        carries = ones_carried(turned, new)
        if not carries:
            doing.append(Line(say.ADD_ONE, weight=CORE))
        else:
            last = Moment(
                written=(Cells(pair[1], end, end),),
                column=end,
                carried=carries[:1],
                over=pair[0],
                aside="1 + 1 = 10",
            )
            doing.append(Line(say.ADD_ONE_CARRY, last, CORE))
            out = carries[-1] == start and new.bits[:1] == "0" and turned.bits[:1] == "1"
            whole = Moment(carried=carries, over=pair[0])
            runs_on = (
                say.CARRY_RUNS_OUT if out else say.CARRY_RUNS.format(places_words=say.places(len(carries)))
            )
            doing.append(Line(runs_on, whole, DETAIL))
        doing.append(Line(say.MAKES.format(value=self.value(new.value)), weight=USUAL))
        return Told(opening, doing)

    # === Adding ===

    def tell_add(self) -> Told | None:
        """Add column by column from the right, each carry rising; then argue the last carry."""
        columns = columns_added(self.step)
        if not columns:
            return None
        total_at, total = working_rows(self.step)[-1]
        opening = [Line(say.NOW_ADD, self._begun(total_at, columns), ESSENTIAL)]
        doing = list(self._columns(total_at, columns))
        doing += self._argued(total, columns)
        doing.append(Line(say.SUM_IS.format(value=self.value(total.value)), weight=CORE))
        return Told(opening, doing)

    def _begun(self, row: int, columns: tuple[Column, ...]) -> Moment:
        return Moment(written=(Cells(row, 1, 0),), column=columns[0].place, carried=())

    def _columns(self, row: int, columns: tuple[Column, ...]) -> Iterator[Line]:
        last, told = columns[0].place, 0
        for run in runs(columns):
            if len(columns) > IN_FULL and told >= FIRST_FEW:
                yield self._column_line(row, columns, columns[-1], say.ON_AND_ON, last)
                return
            told += len(run)
            yield self._column_line(row, columns, run[0], _column_words(run[0]), last)
            if len(run) > 1:
                again = (
                    say.AND_SAME if len(run) == 2 else say.NEXT_ALIKE.format(count=say.count(len(run) - 1))
                )
                yield self._column_line(row, columns, run[-1], again, last)

    def _column_line(
        self, row: int, columns: tuple[Column, ...], column: Column, words: str, last: int
    ) -> Line:
        carried = tuple(each.place - 1 for each in columns if each.carry_out and each.place >= column.place)
        moment = Moment(
            written=(Cells(row, column.place, last),),
            column=column.place,
            aside=column.written,
            carried=carried,
        )
        return Line(words, moment, DETAIL)

    def _argued(self, total: Row, columns: tuple[Column, ...]) -> Iterator[Line]:
        page = self.step.after
        if page.overflowed:
            yield Line(say.OVERFLOWS, weight=CORE)
        elif columns[-1].carry_out and total.lead_is == "dropped":
            mixed = (page.first < 0) != (page.second < 0)
            yield Line(say.DROP_CARRY, weight=DETAIL)
            yield Line(say.MIXED_FIT if mixed else say.NEGATIVES_FIT, weight=USUAL)

    # === Mending, normalising, cutting ===

    def tell_operands(self) -> Told | None:
        """Normalise what is not."""
        return Told([Line(say.NOT_READY, weight=CORE)], [])

    tell_ready = tell_operands

    def tell_repair(self) -> Told | None:
        """Move everything one place right, behind its true sign."""
        moved = shift(self.step)
        if moved is None:
            return None
        blank = Moment(written=(self._nothing(moved),))
        doing = [Line(say.MEND, weight=CORE)]
        if moved.worth:
            lost = say.capital(say.listed([say.BITS.get(bit, bit) for bit in moved.lost]))
            doing.append(Line(say.INTO_TRAY.format(lost=lost, worth=self.value(abs(moved.worth)))))
        return Told([Line(say.HOW_FAR, blank, DETAIL, seconds=5)], doing)

    def tell_normalise(self) -> Told | None:
        """Show that the first two bits are alike, ask how far, and move."""
        moved = shift(self.step)
        if moved is None:
            return None
        start = first_column(moved.before)
        blank = self._nothing(moved)
        look = Moment(written=(blank,), marked=(Cells(moved.row - 1, start, start + 1),))
        left = -moved.places
        move = say.MOVE_LEFT.format(
            places_words_capital=say.capital(say.places(left)),
            places=say.count(left),
            high=self.value(self.step.before.exponent),
            low=self.value(self.step.after.exponent),
        )
        opening = [Line(say.ALIKE, look, ESSENTIAL), Line(say.HOW_FAR, look, DETAIL, seconds=5)]
        return Told(opening, [Line(move, weight=CORE), Line(self._expected(moved), weight=USUAL)])

    def _expected(self, moved: Shift) -> str:
        question, after = self.working.question, moved.after.value
        guess = estimate(question, self.working.check.exact)
        if guess:
            return say.AS_EXPECTED.format(value=self.value(after), about=guess.about)
        return say.LEFT_VALUE.format(value=self.value(after))

    def tell_cut(self) -> Told | None:
        """Keep the format's bits; tell what the rest was worth."""
        rows = working_rows(self.step)
        if len(rows) != 2:
            return None
        at, row = rows[-1]
        fmt, worth = self.working.question.format, self.value(abs(row.lost_value))
        bits = fmt.digits if fmt.family == SIZES else fmt.mantissa_bits
        if not row.lost_value:
            said = say.CUT_CLEAN.format(bits=bits)
        else:
            said = (say.CUT_LOSS if row.lost_value > 0 else say.ROUNDED_UP).format(bits=bits, worth=worth)
        blank = Moment(written=(Cells(at, 1, 0),))
        doing = [Line(said, weight=CORE), Line(say.MAKES.format(value=self.value(row.value)))]
        return Told([Line(say.WHICH_FALL, blank, DETAIL, seconds=5)], doing)

    # === Multiplying and dividing ===

    def tell_exponents(self) -> Told | None:
        """Add or subtract the exponents, looking at both."""
        page, divides = self.step.after, self.working.question.operation.name == "divide"
        said = (say.TAKE_EXPONENTS if divides else say.ADD_EXPONENTS).format(
            first=self.value(page.first_exponent),
            second=self.value(page.second_exponent),
            sum=self.value(page.exponent),
        )
        sum_shown = " ".join(
            (
                self.value(page.first_exponent),
                "\u2212" if divides else "+",
                _bracketed(self.value(page.second_exponent)),
                "=",
                self.value(page.exponent),
            )
        )
        return Told([], [Line(said, Moment(exponents=(-1, -2), aside=sum_shown), CORE)])

    def tell_product(self) -> Told | None:
        """Multiply the mantissas in full."""
        rows = working_rows(self.step)
        at, row = rows[-1]
        half = self.working.question.format.places
        blank = Moment(written=(Cells(at, 1, 0),))
        long = say.LONG_PRODUCT.format(places=half, both=2 * half)
        doing = [Line(long, weight=CORE)]
        if row.value is not None:
            doing.append(Line(say.MAKES.format(value=self.value(row.value)), weight=USUAL))
        return Told([Line(say.MULTIPLY, blank, ESSENTIAL)], doing)

    def tell_quotient(self) -> Told | None:
        """Divide the sizes, a few places further."""
        at, row = working_rows(self.step)[-1]
        blank = Moment(written=(Cells(at, 1, 0),))
        if row.value is not None:
            doing = [Line(say.MAKES.format(value=self.value(row.value)), weight=ESSENTIAL)]
        else:
            doing = [Line(say.LONG_QUOTIENT, weight=CORE)]
        return Told([Line(say.DIVIDE, blank, ESSENTIAL)], doing)

    def tell_sign(self) -> Told | None:
        """Negate where the signs differ."""
        page = self.step.before
        if (page.first < 0) == (page.second < 0):
            return None
        return Told([Line(say.NEGATIVE_SIGN, weight=CORE)], [])


def _column_words(column: Column) -> str:
    terms = [say.BITS[column.first], say.BITS[column.second], *(["one"] if column.carry_in else [])]
    carry = say.CARRY_ONE if column.carry_out else ""
    return say.COLUMN.format(terms=say.capital(say.listed(terms)), digit=say.BITS[column.digit], carry=carry)


def _bracketed(number: str) -> str:
    return f"({number})" if number.startswith("\u2212") else number


# === Checking and summing up ===


def checking(working: Working) -> list[Line]:
    """Return how the check is told, the gap before its cause; none where the answer is a word."""
    check, point = working.check, working.question.course.point
    if (
        check.value is None
        or check.special
        or not working.steps
        or working.question.operation.name == "range"
    ):
        return []

    def shown(x: Fraction) -> str:
        return told_value(x, point)

    lines = [Line(say.NOW_CHECK, Moment(stage="line"), DETAIL)]
    lines.append(Line(say.EXACT_IS.format(exact=shown(check.exact)), Moment(stage="exact"), CORE))
    if not check.error:
        return [*lines, Line(say.WE_AGREE, weight=CORE)]
    side = "over" if check.error < 0 else "under"
    differ = say.WE_DIFFER.format(value=shown(check.value), over_or_under=side, gap=shown(abs(check.error)))
    lines.append(Line(differ, Moment(stage="gap"), CORE))
    losses = [loss for loss in working.losses if loss.worth]
    if not losses or any(row.lost_value < 0 for step in working.steps for row in step.rows):
        return [*lines, *(Line(reason, weight=DETAIL) for reason in working.check_words.reasons[:1])]
    worths = [shown(abs(loss.worth)) for loss in losses]
    lines.append(Line(say.WHERE_GONE, Moment(stage="gap"), DETAIL, seconds=6))
    lines.append(Line(say.IN_TRAY.format(worth=say.listed(worths)), Moment(stage="tray"), ESSENTIAL))
    same_side = len({loss.worth > 0 for loss in losses}) == 1
    if sum(loss.worth for loss in losses) == check.error and same_side:
        lines.append(Line(say.CLOSES if len(losses) == 1 else say.CLOSES_ALL, weight=CORE))
    if check.verdict == "representation error":
        lines.append(Line(say.NEAREST_ANYWAY, weight=DETAIL))
    return lines


def summing_up(working: Working) -> list[Line]:
    """Return the steps in a few words; none for a working of one or two."""
    verbs = [say.VERBS[step.rule] for step in working.steps if step.rule in say.VERBS]
    if len(verbs) < 2:
        return []
    tray = say.AND_TRAY if any(loss.worth for loss in working.losses) else ""
    return [Line(f"{say.capital(', '.join(verbs))}.{tray}", weight=USUAL)]
