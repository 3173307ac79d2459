"""The check as a class does it: in decimal, in fixed-point binary, in the format, beside the result."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from chalkpoint.numbers.exact import is_dyadic, write_value
from chalkpoint.numbers.families import SIZES, WHOLE
from chalkpoint.numbers.fitting import is_beyond
from chalkpoint.numbers.hexadecimal import to_hexadecimal
from chalkpoint.numbers.named import AnyFormat, AnyPattern, value_or_none
from chalkpoint.working.check import NO_ANSWER
from chalkpoint.working.question import Question, show_pattern
from chalkpoint.working.steps import Loss
from chalkpoint.working.wording.heading import asked_sum, signed_sum, stored_otherwise
from chalkpoint.working.wording.reading import fixed_point_row
from chalkpoint.working.wording.said import Sentence, Speaker, bracketed, say
from chalkpoint.working.wording.words import WORDS
from chalkpoint.working.wording.words_end import LINES, SPECIALS
from chalkpoint.working.worked import Worked
from chalkpoint.working.written import Spoken

__all__ = ["CheckWords", "write_check"]

TITLE = WORDS["check"]
ARITHMETIC = {"add": lambda a, b: a + b, "subtract": lambda a, b: a - b, "multiply": lambda a, b: a * b}


@dataclass(frozen=True, slots=True)
class CheckWords:
    """What is written for the check.

    title      "Check in decimal"
    detail     one or two sentences: the exact answer, and whether it fits
    lines      (label, text) pairs, written under each other
    verdict    the verdict in a few words, such as "Truncation error: 0.0625"
    reasons    sentences: how large, made where, and what no pattern could avoid
    spoken     all of it for the ear
    sentences  detail, verdict and reasons one by one, each with its key and its words for the ear
    """

    title: str
    detail: str
    lines: tuple[tuple[str, str], ...]
    verdict: str
    reasons: tuple[str, ...]
    spoken: str
    sentences: tuple[Spoken, ...] = ()


def write_check(working: Worked) -> CheckWords:
    """Return the check of *working* in words."""
    return CheckWriter(working).write()


class CheckWriter:
    """Writes the check of one working."""

    def __init__(self, working: Worked) -> None:
        self.working = working
        self.check = working.check
        self.question = working.question
        self.about: Question = working.question.about or working.question
        self.point = working.question.course.point
        self.speaker = Speaker(working.question.names, self.point)

    def write(self) -> CheckWords:
        """Return everything that is written."""
        detail, verdict, reasons = list(self.detail()), self.verdict(), list(self.reasons())
        said = tuple(map(self.speaker.spoken, [*detail, verdict, *reasons]))
        written = [each.text for each in said]
        heard = " ".join([f"{TITLE}.", *(f"{each.heard.rstrip('.')}." for each in said)])
        count = len(detail)
        why, lines = tuple(written[count + 1 :]), tuple(self.lines())
        return CheckWords(TITLE, " ".join(written[:count]), lines, written[count], why, heard, said)

    # === Pieces ===

    def value(self, x: Fraction) -> str:
        """Return *x* as the course writes it."""
        return write_value(x, point=self.point)

    def pattern(self, pattern: AnyPattern) -> str:
        """Return *pattern* as the course writes it in a sentence."""
        fmt, course = self.check.format, self.question.course
        bits: str = fmt.write(pattern, point=course.binary_point == "shown")
        return f"{bits} ({to_hexadecimal(bits)})" if course.hexadecimal == "shown" else bits

    def sum_in_decimal(self) -> str:
        """Return the operation in decimal, up to the exact answer."""
        question, exact = self.about, self.special() or self.value(self.check.exact)
        if self.check.special == NO_ANSWER:
            return LINES["no answer"].format(signed_sum(question, question.shown))
        if question.operation.sign:
            return f"{signed_sum(question, question.shown)} = {exact}"
        if question.operation.name == "negate" and self.check.exact > 0:  # else it is the exact answer again
            return f"\u2212{bracketed(question.shown[0])} = {exact}"
        return exact

    def special(self) -> str:
        """Return the word for an exact answer that is an infinity or not a number, else ""."""
        return SPECIALS.get(self.check.special, self.check.special)

    def asked(self) -> Fraction | None:
        """Return the exact answer to what was asked for, where other operands were stored; else None."""
        question = self.about
        if not question.operation.sign or not stored_otherwise(question) or self.check.special:
            return None
        fmt = question.format
        values = [
            value_or_none(fmt, pattern) if given is None else given
            for given, pattern in zip(question.given, question.patterns, strict=True)
        ]
        finite = [value for value in values if value is not None]
        name = question.operation.name
        if len(finite) < len(values) or (name == "divide" and not finite[1]):
            return None
        if name == "divide":
            return finite[0] / finite[1]
        return sum(finite, Fraction(0)) if name == "sum" else ARITHMETIC[name](*finite)

    # === Detail ===

    def detail(self) -> Iterator[Sentence]:
        """Yield the exact answer, and whether it has a pattern."""
        name, check = self.question.operation.name, self.check
        exact = check.exact
        if name == "range":
            yield say("check.range")
        elif check.special:
            yield say("check.sum", sum=self.sum_in_decimal())
        elif name == "decode":
            yield say("check.both-ways" if self.two_ways() else "check.stands-for", exact=exact)
        elif name == "choose-format":
            yield say("check.highest", pattern=self.pattern(check.nearest_patterns[0]))
        elif name == "normalise" and check.result is not None:
            yield say("check.unchanged", exact=exact)
        else:
            yield from self.whether_it_fits()

    def two_ways(self) -> bool:
        """Tell whether scaling was shown in two ways: by a power of two, and by moving the point."""
        return any(said.key in POINT_MOVED for step in self.working.steps for said in step.written.sentences)

    def whether_it_fits(self) -> Iterator[Sentence]:
        """Yield the exact answer with its pattern, or with the nearest where it has none."""
        check = self.check
        asked = self.about.operation.takes in {"values", "pattern and format"}
        which = "" if asked else "which-"
        total = self.sum_in_decimal()
        if check.exact == 0 or check.special:
            yield say("check.sum", sum=total)
        elif check.fits:
            pattern = self.pattern(check.nearest_patterns[0])
            yield say("check.fits" if asked else "check.pattern-fits", sum=total, pattern=pattern)
            if check.verdict != "exact" and not self.about.past_range:
                yield say("check.missed")
        elif check.verdict == "exact":
            yield say(f"check.{which}un-normalised", sum=total)
        elif is_beyond(check.exact, check.format):
            last = check.nearest_patterns[0]
            shown = show_pattern(check.format, last, self.point)
            yield say(f"check.{which}beyond", sum=total, last=self.pattern(last), last_value=shown)
        else:
            pattern, *other = map(self.pattern, check.nearest_patterns)
            between = {"other": other[0]} if other else {}
            yield say(
                f"check.{which}{'halfway' if other else 'nearest'}", sum=total, pattern=pattern, **between
            )

    def read_back(self, pattern: AnyPattern) -> str:
        """Return a pattern and its value, or the word for it."""
        return f"{self.pattern(pattern)} = {show_pattern(self.check.format, pattern, self.point)}"

    # === Lines ===

    def lines(self) -> list[tuple[str, str]]:
        """Return what a class writes to check: in decimal, in binary, in the format, beside the result."""
        check, question = self.check, self.question
        if question.operation.name == "range":
            return []
        said: list[tuple[str, str]] = []
        asked = self.asked()
        if question.operation.sign:
            operands = question.shown if asked is None else self.operands_asked()
            said += zip(question.names, operands, strict=True)
        if asked is not None:
            said.append(("asked", f"{signed_sum(self.about, asked_sum(self.about))} = {self.value(asked)}"))
        said.append(("in decimal" if asked is None else "stored", self.sum_in_decimal()))
        if is_dyadic(check.exact) and not check.special:
            said.append(self.in_binary())
        said += self.fitted_lines()
        said.append(
            ("worked", self.working.outcome if check.result is None else self.read_back(check.result))
        )
        return said

    def operands_asked(self) -> list[str]:
        """Return each operand as it was asked for, and what it is stored as where that differs."""
        question = self.about
        return [
            asked if asked == stored else LINES["stored"].format(asked, stored)
            for asked, stored in zip(asked_sum(question), question.shown, strict=True)
        ]

    def in_binary(self) -> tuple[str, str]:
        """Return the exact answer in fixed-point binary: with a minus where two's complement is not the code."""
        exact, fmt = self.check.exact, self.check.format
        sized = fmt.family == SIZES or (fmt.family == WHOLE and fmt.field.kind != "two's complement")
        row = fixed_point_row("", exact, sized=sized)
        whole, fraction = row.bits[: len(row.bits) - row.places], row.bits[len(row.bits) - row.places :]
        if row.minus:
            whole = f"\u2212{whole}"
        digits = f"{whole}.{fraction}" if fraction else whole
        if exact < 0 and not sized:
            digits = LINES["two\u2019s complement"].format(digits)
        return "in binary", digits

    def fitted_lines(self) -> list[tuple[str, str]]:
        """Return the exact answer brought into the format: its own pattern, or the rule's and the nearest."""
        check, fmt = self.check, self.check.format
        if check.special:
            return []
        if check.fits:
            name = f"in {fmt}"
            either = check.result if check.exact == 0 else None  # a second zero is as right as the first
            pattern = self.pattern(check.nearest_patterns[0] if either is None else either)
            label = name if len(name) <= LONGEST_LABEL else LINES["pattern"]
            return [(label, LINES["fits"].format(pattern))]
        rule = check.by_rule_pattern
        by_rule = self.read_back(rule) if rule else LINES["out"]
        if rule is not None and check.nearest_patterns == (rule,):
            return [("nearest", LINES["rule"].format(by_rule))]
        return [
            ("by rule", by_rule),
            *(("nearest", self.read_back(pattern)) for pattern in check.nearest_patterns),
        ]

    # === Verdict ===

    def verdict(self) -> Sentence:
        """Return the verdict in a few words."""
        check = self.check
        error = abs(check.error) if check.error is not None else None
        if self.working.faulty:  # no rounding is to blame for what it comes to
            if error is None:
                return say("verdict.not", exact=check.exact)
            return say("verdict.out" if error else "verdict.right", error=error)
        if check.verdict == "exact":
            return say("verdict.exact" if self.asked() is None else "verdict.exact-stored")
        verdict = check.verdict.capitalize()
        if error is None:
            return say("verdict.word", verdict=verdict)
        return say("verdict.error", verdict=verdict, error=error)

    # === Why ===

    def reasons(self) -> Iterator[Sentence]:
        """Yield why: where the error was made, how large it is, what no pattern could avoid."""
        check = self.check
        if self.working.faulty:
            return
        if check.error is None:
            if not check.special:
                yield from self.reasons_out_of_range()
            return
        if check.error:
            yield from [*self.where(), *self.how_large(), *self.what_was_open()]
        elif self.working.losses:
            yield say("why.cancelled")
        yield from self.of_what_was_asked()

    def of_what_was_asked(self) -> Iterator[Sentence]:
        """Yield how far the answer is from that to what was asked for, where other operands were stored."""
        asked, value = self.asked(), self.check.value
        if asked is None or value is None:
            return
        off = abs(asked - value)
        if not off:
            yield say("why.asked-exact")
        else:
            yield say("why.asked-more" if self.check.error else "why.asked", off=off)

    def reasons_out_of_range(self) -> Iterator[Sentence]:
        """Yield whether the exact answer would have been in range."""
        check = self.check
        if self.about.past_range:
            yield say("why.past-range", format=str(check.format))
        elif check.taken_out and self.total_out():
            yield say("why.total-out")
        elif check.fits:
            (pattern,) = check.nearest_patterns
            key = "why.loose-fit" if is_loose(pattern, check.format) else "why.would-fit"
            yield say(key, pattern=self.pattern(pattern))
        elif check.taken_out:
            yield say("why.cut-once")

    def total_out(self) -> bool:
        """Tell whether a sum of several ended because the exact total of two of them was out of range."""
        if self.question.operation.name != "sum":
            return False
        *_, last = (step.after.working for step in self.working.steps if step.rule == "add")
        return not last.check.taken_out

    def where(self) -> list[Sentence]:
        """Return a sentence for the error, or for each part of it, traced to its step and bits."""
        losses, ulps = self.working.losses, self.check.error_ulps
        zero = [] if ulps else [say("why.no-unit")]
        if len(losses) == 1:
            (loss,) = losses
            return [*zero, say(f"why.{self.by_digits(loss)}", ulps=ulps, step=loss.step, lost=loss.bits)]
        if ulps is None:
            return [*zero, *map(self.part, losses)]
        return [say("why.units-in-all" if losses else "why.units", ulps=ulps), *map(self.part, losses)]

    def part(self, loss: Loss) -> Sentence:
        """Return the sentence of one loss among others."""
        what = "" if loss.bits else ("zero-" if self.check.value == 0 else "end-")
        way = "took" if loss.worth > 0 else "put"
        return say(f"why.part-{what}{way}", step=loss.step, lost=loss.bits, worth=abs(loss.worth))

    def by_digits(self, loss: Loss) -> str:
        """Return by which digits a loss was made: the key of what is said of it."""
        if not loss.bits:
            return "zero" if self.check.value == 0 else "end"
        if loss.rule in {"cut", "fit", "round"} and self.rounded_up(loss):
            return "rounded-up"
        if "\u2026" in loss.bits:
            return "tail"
        return "lost-one" if loss.bits.count("1") == 1 else "lost-ones"

    def rounded_up(self, loss: Loss) -> bool:
        """Return whether a loss was a rounding to the pattern above."""
        if loss.rule == "round":  # of a size
            return abs(self.check.value or Fraction(0)) > abs(self.check.exact)
        rounding = {"exact-then-nearest": "nearest"}.get(self.working.method, self.working.method)
        return rounding.startswith("nearest") and loss.worth < 0

    def how_large(self) -> Iterator[Sentence]:
        """Yield the relative error, as a division and as a percentage."""
        check = self.check
        if check.relative_error is None or check.error is None:
            return
        ratio = check.relative_error
        long = max(ratio.numerator.bit_length(), ratio.denominator.bit_length()) > 40
        key = "why.relative" if long else "why.relative-value"
        yield say(key, error=abs(check.error), exact=abs(check.exact), ratio=ratio)

    def what_was_open(self) -> Iterator[Sentence]:
        """Yield what any pattern would have cost, and whether the working did better than the rule."""
        check = self.check
        if check.fits or check.error is None:
            return
        further = abs(check.error) > check.unavoidable_error
        yield say("why.none-nearer-than" if further else "why.nearest", least=check.unavoidable_error)
        if check.nearer_than_rule:
            yield say("why.nearer-than-rule")


def is_loose(pattern: AnyPattern, fmt: AnyFormat) -> bool:
    """Tell whether *pattern* has a size of its own that is not normalised."""
    return fmt.family == SIZES and not fmt.size(pattern.exponent, pattern.fraction) >> (fmt.digits - 1)


LONGEST_LABEL = 16  # of a line, in characters
POINT_MOVED = frozenset({"scale.left", "scale.right", "scale.point-left", "scale.point-right"})
