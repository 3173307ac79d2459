"""What is said of a whole working: the check, sums, a format chosen, an explanation. By key."""

from fractions import Fraction
from itertools import accumulate
from typing import Any

import chalkpoint as cp
from chalkpoint.numbers.families import WHOLE
from chalkpoint.numbers.named import AnyPattern, value_or_none
from chalkpoint.working.work import work_question
from sentence_case import Case, Facts, Truth, bring, is_power, number, shortest
from truths_values import is_word, past_range

__all__ = ["ENDING"]


def shown_value(case: Case, bits: str) -> Fraction:
    """Return the value of a pattern as a sentence shows it."""
    fmt = case.working.check.format
    pattern: AnyPattern = fmt.read(bits.replace(".", "").partition(" (")[0])
    value: Any = value_or_none(fmt, pattern)
    return Fraction(value)


def fits(case: Case, bits: str, value: Fraction) -> bool:
    """Tell whether a pattern reads as *value*."""
    return shown_value(case, bits) == value


def last_number(text: str) -> Fraction:
    """Return the number that a written sum comes to."""
    return number(text.rpartition(" = ")[2])


def nearest(f: Facts, case: Case) -> bool:
    """Tell whether no pattern that the working ended in comes nearer than the one named, and it is not the answer."""
    off = abs(shown_value(case, f["pattern"]) - case.exact)
    value = case.working.result.value
    return off > 0 and (value is None or off <= abs(value - case.exact))


def halfway(f: Facts, case: Case) -> bool:
    """Tell whether the exact answer is as far from one pattern as from the other."""
    low, high = (shown_value(case, f[name]) for name in ("pattern", "other"))
    return low < case.exact < high and case.exact - low == high - case.exact


def beyond(f: Facts, case: Case) -> bool:
    """Tell whether the exact answer lies past the last pattern, which is on its side."""
    last = shown_value(case, f["last"])
    side = (last < 0) == (case.exact < 0) or last == 0 == int("unsigned" not in str(case.question.format))
    return last == number(f["last_value"]) and abs(case.exact) > abs(last) and side


def kept_otherwise(case: Case) -> list[bool]:
    """Return for each operand whether what was asked for is not what was stored."""
    pairs = zip(case.question.given, case.operands, strict=True)
    return [given is not None and given != value for given, value in pairs]


def off(case: Case) -> Fraction:
    """Return how far the answer is from that to what was asked for."""
    asked = [
        value if given is None else given
        for given, value in zip(case.question.given, case.operands, strict=True)
    ]
    return abs(Case(case.working, tuple(asked), case.bits).exact - case.worked)


def offers(f: Facts, case: Case) -> tuple[bool, bool, bool]:
    """Return whether a format reaches far enough, is fine enough and comes near enough to zero, from its widths."""
    mantissa, exponent = map(int, f["format"].split("+"))
    low, high, step = case.working.question.amounts
    top, bottom = (1 << exponent - 1) - 1, -(1 << exponent - 1)
    largest, least = (1 - Fraction(1, 1 << mantissa - 1)) * Fraction(2) ** top, -(Fraction(2) ** top)
    smallest = Fraction(2) ** (bottom - 1)
    # The last gap within the range lies below its highest value.
    needed = max(bring(low) if low else bottom, bring(high) - is_power(high.numerator) if high else bottom)
    coarsest = Fraction(2) ** (needed + 1 - mantissa)
    assert (f["largest"], f["most_negative"], f["smallest"]) == (largest, least, smallest)
    assert f["coarsest"] == coarsest
    return least <= low <= high <= largest, coarsest <= step, smallest <= step


def losses(case: Case) -> Fraction:
    """Return what all losses of the working are worth together."""
    return sum((loss.worth for loss in case.working.losses), Fraction(0))


def part(f: Facts, case: Case, *, took: bool, lost: bool) -> bool:
    """Tell whether a part of the error has its sign, and all parts together are the error."""
    signs = {loss.step: loss.worth for loss in case.working.losses}
    whole = losses(case) == case.exact - case.worked
    return (
        whole and (f["lost"] != "") is lost and signs[f["step"]] == (f["worth"] if took else -f["worth"]) != 0
    )


def units_told(f: Facts, case: Case) -> bool:
    """Tell whether the error is so many units in the last place of the result, which has one unless it is 0."""
    ulps, unit = f["ulps"], case.working.check.unit
    if ulps is None:
        return case.worked == 0
    return unit is not None and abs(case.exact - case.worked) == ulps * unit > 0


def apart(case: Case) -> int:
    """Return the difference of the operands' exponents in normal form."""
    first, second = case.operands
    return bring(first) - bring(second)


def second_added(case: Case) -> Fraction:
    """Return the second operand as it is added."""
    return -case.operands[1] if case.name == "subtract" else case.operands[1]


def out_of_range(case: Case) -> bool:
    """Tell whether the exact answer lies past the range, or in the hole around zero."""
    fmt = case.question.float_format
    return not fmt.lowest_exponent <= bring(case.exact) <= fmt.highest_exponent


def lost_out(case: Case) -> bool:
    """Tell whether the working lost bits and ended in a word, no total of exact terms being out of range."""
    lost = case.working.losses or explained(case).losses
    return case.working.result.bits is None and lost != () and not total_out(case)


def total_out(case: Case) -> bool:
    """Tell whether the terms of a sum, added exactly from the left, are out of range on the way."""
    fmt, totals = case.question.float_format, list(accumulate(case.operands))[1:-1]
    return any(total and not fmt.lowest_exponent <= bring(total) <= fmt.highest_exponent for total in totals)


def explained(case: Case) -> cp.Working:
    """Return the working that is explained."""
    return work_question(case.question)


def lost_in(case: Case, *rules: str) -> bool:
    """Tell whether digits were lost in one of the steps."""
    return any(loss.rule in rules for loss in explained(case).losses)


def cancelled(f: Facts, case: Case, *, lost: bool) -> bool:
    """Tell whether the answer's exponent is as many places below the larger operand's."""
    early = lost_in(case, "align", "spare")
    top = max(map(bring, case.operands))
    moved = next(
        step for step in case.working.steps if step.rule == "point" and step.after.kind == "cancelled"
    )
    return (
        moved.after.facts["places"] >= f["places"]
        and early is lost
        and bring(case.exact) <= top - f["places"] + 1
    )


def order_off(f: Facts, case: Case) -> Fraction:
    """Return how far another order is from the exact sum, checked against what is written."""
    off = abs(case.exact - number(f["result"]))
    assert f["off"] == ("exact" if off == 0 else f"off by {f['off'].removeprefix('off by ')}")
    assert off == 0 or number(f["off"].removeprefix("off by ")) == off
    assert sum(terms(f), Fraction(0)) == case.exact
    return off


def terms(f: Facts) -> list[Fraction]:
    """Return the terms of another order."""
    return [number(text.strip("()")) for text in f["terms"].split(" + ")]


def own_error(case: Case) -> Fraction | None:
    """Return how far the order that was asked is from the exact sum; None where it ended in a word."""
    value = case.working.result.value
    return None if value is None else abs(case.exact - value)


def better(f: Facts, case: Case) -> bool:
    """Tell whether another order comes nearer."""
    own = own_error(case)
    return own is None or order_off(f, case) < own


ENDING: dict[str, Truth] = {
    # Sums
    "term.out": lambda f, c: (
        any(step.rule == "add" and step.after.working.pattern is None for step in c.working.steps)
        and f["outcome"] == ("overflow" if abs(f["exact"]) > 1 else "underflow")
    ),
    "term.gives": lambda f, c: f["exact"] == number(f["total"]) + number(f["term"]),
    "term.absorbed": lambda f, c: number(f["result"]) == number(f["total"]) and number(f["term"]) != 0,
    "term.lost": lambda f, c: f["missed"] == abs(f["exact"] - number(f["result"])) > 0,
    "order.word": lambda f, c: terms(f) == sorted(c.operands, key=abs) and own_error(c) is None,
    "order.better": better,
    "order.cancels": lambda f, c: (
        better(f, c) and terms(f)[0] == -terms(f)[1] and abs(terms(f)[0]) == max(map(abs, terms(f)))
    ),
    "order.grows": lambda f, c: (
        better(f, c) and len({x > 0 for x in terms(f)[:-1]}) == 1 and terms(f) == sorted(terms(f), key=abs)
    ),
    "order.no-nearer": lambda f, c: (
        order_off(f, c) >= (own_error(c) or 0) and terms(f) == sorted(c.operands, key=abs)
    ),
    # Choosing a format
    "choose.exponent": lambda f, c: (
        (f["low"], f["high"]) == c.working.question.amounts[:2] and offers(f, c)[0]
    ),
    "choose.mantissa": lambda f, c: f["step"] == c.working.question.amounts[2] and offers(f, c)[1],
    "choose.near-zero": lambda f, c: offers(f, c)[2],
    "choose": lambda f, c: sum(map(int, f["format"].split("+"))) == f["bits"],
    "choose.serves": lambda f, c: offers(f, c) == (True, True, True),
    "choose.range": lambda f, c: offers(f, c) == (False, True, True),
    "choose.steps": lambda f, c: offers(f, c) == (True, False, True),
    "choose.zero": lambda f, c: offers(f, c) == (True, True, False),
    "choose.range-steps": lambda f, c: offers(f, c) == (False, False, True),
    "choose.range-zero": lambda f, c: offers(f, c) == (False, True, False),
    # Explaining
    "explain.stored first": lambda f, c: (
        f["kept"]
        == c.operands[f["operand"] == "second"]
        != f["asked"]
        == c.question.given[f["operand"] == "second"]
    ),
    "explain.never ends": lambda f, c: f["value"] == c.operands[0] and not is_power(f["value"].denominator),
    "explain.aligned": lambda f, c: (
        f["places"] == abs(apart(c)) and (apart(c) < 0) == (f["operand"] == "first")
    ),
    "explain.aligned-kept": lambda f, c: (
        f["places"] == abs(apart(c))
        and (apart(c) < 0) == (f["operand"] == "first")
        and not lost_in(c, "align")
    ),
    "explain.absorbed": lambda f, c: (
        c.worked == (c.operands[0] if f["operand"] == "second" else second_added(c))
    ),
    "explain.cancelled": lambda f, c: cancelled(f, c, lost=True),
    "explain.cancelled-kept": lambda f, c: cancelled(f, c, lost=False),
    "explain.carry dropped": lambda f, c: c.operands[0] * second_added(c) < 0 <= c.exact,
    "explain.mantissa overflow": lambda f, c: (
        c.operands[0] * second_added(c) > 0
        and bring(c.exact) > max(map(bring, c.operands))
        and not out_of_range(c)
    ),
    "explain.mantissa overflow-over": lambda f, c: (
        bring(c.exact) > max(map(bring, c.operands)) and out_of_range(c)
    ),
    "explain.lost": lambda f, c: explained(c).losses != (),
    "explain.loss": lambda f, c: (
        f["worth"] > 0
        and "1" in f["lost"]
        and any(abs(loss.worth) == f["worth"] and loss.bits == f["lost"] for loss in explained(c).losses)
    ),
    "explain.no pattern": lambda f, c: (
        f["error"] == abs(c.exact - c.worked) >= f["least"] == abs(c.exact - f["near"]) > 0
    ),
    "explain.no pattern-halfway": lambda f, c: (
        f["near"] < c.exact < f["other"] and c.exact - f["near"] == f["other"] - c.exact == f["least"]
    ),
    "explain.missed": lambda f, c: (
        f["error"] == abs(c.exact - c.worked) > 0
        and shortest(c.exact) < c.question.float_format.mantissa_bits
    ),
    "explain.exact": lambda f, c: f["exact"] == c.exact == c.worked and not any(kept_otherwise(c)),
    "explain.exact-stored": lambda f, c: f["exact"] == c.exact == c.worked and any(kept_otherwise(c)),
    "explain.past": lambda f, c: f["asked"] in c.question.given and past_range(f["asked"], c) and is_word(c),
    "explain.overflow": lambda f, c: bring(c.exact) > c.question.float_format.highest_exponent,
    "explain.overflow-whole": lambda f, c: past_range(f["exact"], c) and c.question.format.family == WHOLE,
    "explain.underflow": lambda f, c: bring(c.exact) < c.question.float_format.lowest_exponent,
    "explain.overflow-lost": lambda f, c: not out_of_range(c) and c.working.outcome == "overflow",
    "explain.underflow-lost": lambda f, c: not out_of_range(c) and c.working.outcome == "underflow",
    "explain.special": lambda f, c: c.working.check.special.replace("minus ", "\u2212") == f["word"] != "",
    "explain.more bits": lambda f, c: f["bits"] - 1 == shortest(c.exact) > f["has"] - 1,
    "explain.other method": lambda f, c: f["result"] != c.working.result.bits,
    # The check
    "check.range": lambda f, c: all(fits(c, *pair) for pair in c.working.result.values.values()),
    "check.highest": lambda f, c: shown_value(c, f["pattern"]) <= c.working.question.amounts[1],
    "check.fits": lambda f, c: fits(c, f["pattern"], c.exact) and last_number(f["sum"]) == c.exact,
    "check.pattern-fits": lambda f, c: fits(c, f["pattern"], c.exact),
    "check.un-normalised": lambda f, c: c.worked == c.exact,
    "check.which-un-normalised": lambda f, c: c.worked == c.exact,
    "check.beyond": beyond,
    "check.which-beyond": beyond,
    "check.halfway": halfway,
    "check.which-halfway": halfway,
    "check.nearest": nearest,
    "check.which-nearest": nearest,
    "verdict.exact-stored": lambda f, c: c.worked == c.exact and c.question.given != (None, None),
    "verdict.word": lambda f, c: (
        f["verdict"].lower() in {c.working.outcome, c.working.check.verdict}
        and (c.working.result.value is None or c.working.check.special == "no answer")
    ),
    "verdict.not": lambda f, c: c.working.faulty and f["exact"] == c.exact != c.working.result.value,
    "verdict.out": lambda f, c: c.working.faulty and f["error"] == abs(c.exact - c.worked) > 0,
    "verdict.right": lambda f, c: c.working.faulty and c.exact == c.worked,
    "why.asked": lambda f, c: f["off"] == off(c) > 0 and c.worked == c.exact,
    "why.asked-more": lambda f, c: f["off"] == off(c) > 0 and c.worked != c.exact,
    "why.asked-exact": lambda f, c: off(c) == 0,
    "why.cancelled": lambda f, c: losses(c) == 0 and c.working.losses != () and c.worked == c.exact,
    "why.would-fit": lambda f, c: fits(c, f["pattern"], c.exact) and lost_out(c),
    "why.loose-fit": lambda f, c: (
        fits(c, f["pattern"], c.exact) and losses(c) == 0 and f["pattern"].partition(".")[2][0] == "0"
    ),
    "why.cut-once": lambda f, c: not out_of_range(c) and lost_out(c),
    "why.total-out": lambda f, c: not out_of_range(c) and total_out(c) and c.working.result.bits is None,
    "why.no-unit": lambda f, c: c.worked == 0 != c.exact,
    "why.units": units_told,
    "why.units-in-all": units_told,
    "why.end": lambda f, c: units_told(f, c) and abs(c.worked) < abs(c.exact),
    "why.zero": lambda f, c: units_told(f, c) and c.worked == 0 != c.exact,
    "why.rounded-up": lambda f, c: units_told(f, c) and (abs(c.worked) > abs(c.exact) or c.worked > c.exact),
    "why.part-took": lambda f, c: part(f, c, took=True, lost=True),
    "why.part-put": lambda f, c: part(f, c, took=False, lost=True),
    "why.part-end-took": lambda f, c: part(f, c, took=True, lost=False),
    "why.part-end-put": lambda f, c: part(f, c, took=False, lost=False),
    "why.part-zero-took": lambda f, c: part(f, c, took=True, lost=False) and c.worked == 0,
    "why.part-zero-put": lambda f, c: part(f, c, took=False, lost=False) and c.worked == 0,
    "why.nearest": lambda f, c: abs(c.exact - c.worked) == c.working.check.unavoidable_error,
    "why.nearer-than-rule": lambda f, c: abs(c.exact - c.worked) < abs(c.exact - rule(c)),
}


def rule(case: Case) -> Fraction:
    """Return the value that the course's rule gives for the exact answer."""
    return shown_value(case, case.working.check.by_rule or "")
