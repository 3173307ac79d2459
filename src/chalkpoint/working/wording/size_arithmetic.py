"""What arithmetic on numbers of sign, exponent and size writes on the board."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from chalkpoint.numbers.bits import scaled, to_bits
from chalkpoint.numbers.named import value_or_none
from chalkpoint.numbers.signed import Fields
from chalkpoint.working import facts
from chalkpoint.working.methods import Method
from chalkpoint.working.page import INFINITY, NOT_A_NUMBER, OVERFLOW, UNDERFLOW
from chalkpoint.working.question import Question
from chalkpoint.working.sizes import TO_INFINITY, TO_NAN, SizePage
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.byhand import divided, multiplied, rows_left_out, takes_left_out
from chalkpoint.working.wording.rows import differences
from chalkpoint.working.wording.said import Sentence, Told, bracketed, say
from chalkpoint.working.wording.size_rows import (
    fields_row,
    pack_says,
    past_end,
    says_size,
    size_row,
    speak_size,
    stored_code,
)
from chalkpoint.working.wording.writer import StepWriter, told
from chalkpoint.working.written import Row

__all__ = ["SizeWriter", "rounding_key"]

Facts = Mapping[str, object]
OPERANDS = ("first", "second")


def rounding_key(rounding: str) -> str:
    """Return the sentence that says what *rounding* does to a size."""
    return f"round.{rounding.replace(' ', '-')}"


class SizeWriter(StepWriter):
    """Writes the steps of one question; a method of it for each line."""

    faulty_titles: Mapping[str, str] = {"exponents": "exponents.multiply", "pack": "pack"}

    def __init__(self, question: Question, method: Method) -> None:
        super().__init__(question, method)
        self.sized = question.size_format
        self.divides = question.operation.name == "divide"
        self.adds = question.operation.name in {"add", "subtract"}

    def question_values(self) -> Sequence[Fraction | None]:
        """Return the values of the operands; None where one has none."""
        return [value_or_none(self.sized, pattern) for pattern in self.question.patterns]

    # === What a belief writes ===

    def faulty_says(self, step: Step) -> Sequence[str]:
        """Return the key of what a faulty rule came to."""
        return ["faulty.exponent"] if step.rule == "exponents" else []

    def faulty_facts(self, step: Step) -> Facts:
        """Return what a faulty rule came to."""
        return {"exponent": step.after.exponent}

    def faulty_rows(self, step: Step) -> Sequence[Row]:
        """Return the row a faulty rule left."""
        page = step.after
        if step.rule == "exponents":
            return []
        if step.rule in {"unpack", "flip", "align"}:
            numbers = zip(OPERANDS, self.question.patterns, strict=True)
            return [
                self.operand_row(page, which)
                for which, pattern in numbers
                if self.sized.kind(pattern) not in SPECIAL
            ]
        if step.rule in {"combine", "renormalise", "round"}:
            return [self.total_row("sum" if self.adds else "answer", page)]
        return [fields_row("answer", Fields(page.sign, page.stored, page.fraction), self.sized)]

    # === Rows ===

    def operand_row(self, page: SizePage, which: str, label: str = "") -> Row:
        """Return the row of one operand's size."""
        sign, size, exponent = (getattr(page, f"{which}{part}") for part in ("_sign", "", "_exponent"))
        return size_row(label or self.name_of(which), sign, size, exponent, self.sized, extra=page.extra)

    def total_row(self, label: str, page: SizePage, *, width: int = 0) -> Row:
        """Return the row below the line; a quotient's last place only says whether the digits go on."""
        total, extra = page.total, page.extra
        divides = self.divides and extra > 0
        if divides:
            total, extra = total >> 1, extra - 1
        row = size_row(label, page.sign, total, page.exponent, self.sized, extra=extra, width=width)
        row = row._replace(beyond="GRS"[: len(row.beyond)] if self.adds else "")
        if divides and page.total & 1:
            row = row._replace(bits=f"{row.bits}\u2026", places=row.places + 1, value=None, unwritten="")
        return speak_size(row)

    # === Unpack ===

    def _unpack(self, step: Step) -> Told:
        said = self.stored_first()
        for which, pattern in zip(OPERANDS, self.question.patterns, strict=True):
            said.append(self._unpacked(which, pattern))
        exponents = {f"{which}_exponent": exponent_of(step.after, which) for which in OPERANDS}
        return told("unpack", said, **exponents)

    def _unpacked(self, which: str, pattern: Fields) -> Sentence:
        fmt, kind = self.sized, self.sized.kind(pattern)
        if kind in {"infinity", "not a number", "zero"}:
            return say(f"unpack.{kind}", operand=which)
        stated: dict[str, object] = {
            "operand": which,
            "size": says_size(fmt.size(pattern.exponent, pattern.fraction), fmt.places),
            "exponent": fmt.true_exponent(pattern.exponent),
            "excess": fmt.exponent.excess,
            "code": stored_code(pattern.exponent, fmt),
        }
        if fmt.exponent.kind != "excess":
            return say("unpack.signed", **stated)
        if fmt.hidden and fmt.subnormals and kind == "subnormal":
            return say("unpack.subnormal", **stated)
        return say("unpack.hidden" if fmt.hidden else "unpack.all", **stated)

    def _unpack_rows(self, step: Step, _: Facts) -> list[Row]:
        fmt, patterns = self.sized, self.question.patterns
        rows = [fields_row(name, pattern, fmt) for name, pattern in zip(self.names, patterns, strict=True)]
        numbers = [
            which
            for which, pattern in zip(OPERANDS, patterns, strict=True)
            if fmt.kind(pattern) not in SPECIAL
        ]
        return [*rows, *(self.operand_row(step.after, which) for which in numbers)]

    def _special(self, step: Step) -> Told:
        page, question = step.after, self.question
        shown = question.shown
        stated: dict[str, object] = {
            "sum": f"{shown[0]} {question.operation.sign} {bracketed(shown[1])}",
            "format": str(self.sized),
            "word": "\u2212infinity" if page.sign else "infinity",
        }
        if page.special == TO_NAN:
            key = "operand" if "not a number" in map(self.sized.kind, question.patterns) else "no-answer"
        elif page.special == TO_INFINITY and self.sized.infinity is None:
            key = "no-infinity"
        elif page.special == TO_INFINITY:
            key = "by-zero" if page.second == 0 and self.divides else "to-infinity"
        else:
            key = "to-zero"
        return told("specials", [f"special.{key}"], **stated)

    def _flip(self, step: Step) -> Told:
        return told("flip", ["flip"], operand="second", sign=step.after.second_sign)

    def _ready(self, step: Step) -> Told:
        before, after = step.before, step.after
        moved = {
            f"{which}_places": exponent_of(before, which) - exponent_of(after, which) for which in OPERANDS
        }
        return told("ready", ["ready.size"], **moved)

    def _ready_rows(self, step: Step, found: Facts) -> list[Row]:
        rows = []
        for which in OPERANDS:
            if found[f"{which}_places"]:
                name = self.name_of(which)
                rows += [
                    self.operand_row(step.before, which, f"{name} before")._replace(soft=True),
                    self.operand_row(step.after, which, f"{name} after"),
                ]
        return rows

    # === Adding ===

    def _align(self, step: Step) -> Told:
        before = step.before
        apart = before.first_exponent - before.second_exponent
        low, high = sorted((before.first_exponent, before.second_exponent))
        still = apart == 0 or before.first == 0 or before.second == 0
        moved = "" if still else ("second" if apart > 0 else "first")
        sticky = bool(moved) and bool(getattr(before, moved) << 3 & ((1 << abs(apart)) - 1))
        if still:
            said = ["align.size-equal" if apart == 0 else "align.size-zero", "align.size-places"]
        else:
            said = ["align.size", *(["align.sticky"] if sticky else [])]
        return told("align", said, low=low, high=high, apart=abs(apart), moved=moved, sticky=sticky)

    def _align_rows(self, step: Step, found: Facts) -> list[Row]:
        before, after, moved = step.before, step.after, str(found["moved"])
        if not moved:
            return [self.operand_row(after, which) for which in OPERANDS]
        places = abs(before.first_exponent - before.second_exponent)
        old = self.operand_row(before, moved, "before")._replace(soft=True)
        new = self.operand_row(after, moved)
        new = new._replace(moved=places, filled=min(places, len(new.bits)), changed="1" * len(new.bits))
        other = "first" if moved == "second" else "second"
        return [self.operand_row(after, other), old, speak_size(new)]

    def _combine(self, step: Step) -> Told:
        page = step.after
        smaller = "second" if page.first > page.second else "first"
        alike = page.first_sign == page.second_sign
        if alike:
            key = "alike"
        elif page.total == 0:
            key = f"equal-{'minus' if page.sign else 'plus'}"
        else:
            key = "differ"
        return told("combine", [f"combine.{key}"], alike=alike, smaller=smaller, sign=page.sign)

    def _combine_rows(self, step: Step, found: Facts) -> list[Row]:
        page = step.after
        if found["alike"]:
            first, second = (self.operand_row(page, which) for which in OPERANDS)
            return [first, second._replace(plus=True), self.total_row("sum", page)]
        order = OPERANDS if found["smaller"] == "second" else OPERANDS[::-1]
        sizes = page._replace(first_sign=0, second_sign=0)  # sizes have no sign of their own
        larger, smaller = (self.operand_row(sizes, which)._replace(sign="") for which in order)
        return [larger, smaller._replace(minus=True), self.total_row("difference", page)]

    # === Multiplying and dividing ===

    def _sign(self, step: Step) -> Told:
        sign = step.after.sign
        return told("sign.of", ["sign.are-different" if sign else "sign.are-alike"], sign=sign)

    def _exponents(self, step: Step) -> Told:
        found = facts.exponents(step.after)
        way, excess = "divide" if self.divides else "multiply", self.sized.exponent.excess
        if found.zero:
            return told(f"exponents.{way}", [f"exponents.{way}-zero"], found)
        stored = [f"exponents.stored-{way}"] if self.sized.exponent.kind == "excess" else []
        true, codes = self.sized.true_exponent, [pattern.exponent for pattern in self.question.patterns]
        if stored and any(true(code) != code for code in codes):
            stored.append("exponents.stored-0")
        return told(
            f"exponents.{way}",
            [f"exponents.{way}-both", *stored],
            found,
            excess=excess,
            first_code=found.first + excess,
            second_code=found.second + excess,
            code=found.exponent + excess,
        )

    def _product(self, step: Step) -> Told:
        page, places = step.after, self.sized.places
        sizes = {"first": says_size(page.first, places), "second": says_size(page.second, places)}
        by_hand: list[Sentence | str] = ["product.rows", *rows_left_out(page.second)] if page.total else []
        product = says_size(page.total, 2 * places)
        return told("product.sizes", ["product.of-sizes", *by_hand], **sizes, product=product)

    def _product_rows(self, step: Step, _: Facts) -> list[Row]:
        page, places = step.after, self.sized.places
        rows = multiplied(self.names, page.first, page.second, places)[:-1] if page.total else []
        return [*rows, self.total_row("product", page, width=2 * self.sized.digits)]

    def _quotient(self, step: Step) -> Told:
        page, places = step.after, self.sized.places
        sizes = {"first": says_size(page.first, places), "second": says_size(page.second, places)}
        found = self.division(step)
        how: list[Sentence | str] = ["quotient.how", *takes_left_out(found)] if page.total and found else []
        goes_on = ["quotient.goes-on"] if page.total & 1 else []
        return told("quotient", ["quotient.of-sizes", *how, *goes_on], **sizes, goes_on=bool(page.total & 1))

    def further(self, step: Step) -> int:
        """Return how many places the quotient has, those among them that both sizes moved first."""
        places: int = self.sized.places + step.after.extra - 1 + step.before.exponent - step.after.exponent
        return places

    def division(self, step: Step) -> facts.Division | None:
        """Return the facts of the long division of *step*, or None where it has no place for it."""
        page, further = step.after, self.further(step)
        return facts.division(page.first << further, page.second) if further >= 0 else None

    def _quotient_rows(self, step: Step, _: Facts) -> list[Row]:
        page, found = step.after, self.division(step)
        rows = divided(found, self.sized.places, self.further(step)) if page.total and found else []
        return [*rows, self.total_row("quotient", page)]

    # === What all go on with ===

    def _renormalise(self, step: Step) -> Told:
        before, after = step.before, step.after
        moved = after.exponent - before.exponent
        said = [f"renormalise.{'right' if moved > 0 else 'left'}"]
        if after.total >> (self.sized.digits + after.extra - 1) == 0:
            said.append("renormalise.lowest")
        if moved > 0 and before.total & ((1 << moved) - 1):
            said.append("renormalise.sticky")
        return told("renormalise", said, places=abs(moved), lowest=self.sized.lowest_exponent)

    def _renormalise_rows(self, step: Step, _: Facts) -> list[Row]:
        before, after = step.before, step.after
        old, new = self.total_row("before", before)._replace(soft=True), self.total_row("after", after)
        moved = after.exponent - before.exponent
        return [old, speak_size(new._replace(moved=moved, changed="1" * len(new.bits)))]

    def _round(self, step: Step) -> Told:
        before, after = step.before, step.after
        rest, half = before.total & ((1 << before.extra) - 1), (1 << before.extra) >> 1
        grew = after.carried or after.total > before.total >> before.extra
        stated = {"lost": to_bits(rest, before.extra), "grew": grew, "carried": bool(after.carried)}
        if not rest:
            return told("round", ["round.0s"], **stated)
        rounding = self.question.course.rounding
        amount = "tie" if rest == half else ("more" if rest > half else "less")
        said = [
            rounding_key(rounding),
            f"round.{amount if rounding.startswith('nearest') else 'rest'}",
            "round.grows" if grew else "round.stays",
            *(["round.carried"] if after.carried else []),
        ]
        return told("round", said, **stated)

    def _round_rows(self, step: Step, found: Facts) -> list[Row]:
        before, after = step.before, step.after
        old = self.total_row("before", before)._replace(soft=True)
        new = self.total_row("rounded", after)
        kept = to_bits(before.total >> before.extra, self.sized.digits)
        lost = str(found["lost"])
        missed = self._missed(after) if "1" in lost else Fraction(0)
        return [
            old,
            speak_size(new._replace(lost=lost, lost_value=missed, changed=differences(kept, new.bits))),
        ]

    def _missed(self, page: SizePage) -> Fraction:
        """Return how much larger the exact size is: the sticky place stands for all digits past it."""
        first, second = (self.sized.value(pattern) for pattern in self.question.patterns)
        name = self.question.operation.name
        if name == "divide":
            exact = first / second
        else:
            exact = {"add": first + second, "subtract": first - second, "multiply": first * second}[name]
        return abs(exact) - scaled(page.total, page.exponent - self.sized.places)

    def _pack(self, step: Step) -> Told:
        page, fmt = step.after, self.sized
        pattern = Fields(page.sign, page.stored, page.fraction)
        if page.special:
            return told("pack", ["pack.special"], kind=fmt.kind(pattern))
        stated = {"exponent": page.exponent, "highest": fmt.highest_exponent, "lowest": fmt.lowest_exponent}
        past = "pack.past-exponent" if page.exponent > fmt.highest_exponent else "pack.past-size"
        if page.outcome == OVERFLOW:
            return told("range.overflow", [past, "pack.word"], **stated)
        if page.outcome == UNDERFLOW:
            return told("range.underflow", ["pack.under"], **stated)
        over = page.exponent > fmt.highest_exponent or (
            not fmt.holds(page.total, page.exponent) and page.stored > 0
        )
        if page.outcome in {INFINITY, NOT_A_NUMBER} or over:
            return told("range.overflow", [past, "pack.written"], **stated, written=past_end(pattern, fmt))
        said, more = pack_says(pattern, page.total, page.exponent, fmt)
        return told("pack", said, **(stated | more))

    def _pack_rows(self, step: Step, _: Facts) -> list[Row]:
        page = step.after
        if page.outcome in {OVERFLOW, UNDERFLOW}:
            return []
        return [fields_row("answer", Fields(page.sign, page.stored, page.fraction), self.sized)]


SPECIAL = {"infinity", "not a number"}


def exponent_of(page: SizePage, which: str) -> int:
    """Return the exponent of the operand *which*."""
    exponent: int = getattr(page, f"{which}_exponent")
    return exponent
