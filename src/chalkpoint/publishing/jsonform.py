"""A working as a JSON object, `chalkpoint.working/1`: keys are promises, values are exact.

Values are strings that another program reads back exactly (`write_exact`); bits are strings;
exponents are integers; what does not exist is null.
"""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.exact import write_exact
from chalkpoint.working.check import Check
from chalkpoint.working.steps import Step
from chalkpoint.working.working import Result, Working
from chalkpoint.working.written import Row

__all__ = ["as_json"]

SCHEMA = "chalkpoint.working/1"
FURTHER = ("carries", "held", "sign", "unwritten", "beyond", "word", "in_order")


def as_json(working: Working) -> JsonObject:
    """Return *working* as a dictionary of JSON values, its keys in a fixed order.

    >>> from chalkpoint.working.work import work
    >>> found = as_json(work("subtract", "010111 0011", "010100 0001", format="6+4"))
    >>> found["result"]
    {'outcome': 'in range', 'bits': '010010 0011', 'value': '9/2'}
    >>> found["steps"][1]["rows"][1]["lost"], found["check"]["verdict"]
    ('00', 'exact')
    """
    question = working.question
    return {
        "schema": SCHEMA,
        "question": {
            "operation": question.operation.name,
            "format": str(question.format),
            "operands": list(question.operands),
            "course": question.course.to_dict(),
            "names": list(question.names[: question.operation.operands]),
            "title": working.title,
        }
        | ({"notes": list(question.notes)} if question.notes else {}),
        "method": working.method,
        "steps": [_step(step) for step in working.steps],
        "result": _result(working.result, hexadecimal=question.course.hexadecimal == "shown"),
        "check": _check(working.check),
    }


def _step(step: Step) -> JsonObject:
    return {
        "rule": step.rule,
        "says": step.says,
        "rows": [_row(row) for row in step.rows],
        "number": step.number,
        "spoken": step.spoken,
        "facts": {name: _fact(fact) for name, fact in step.facts.items()},
        "sentences": [sentence.key for sentence in step.written.sentences],
    }


def _fact(fact: object) -> object:
    """Return a fact as JSON holds it: whole numbers, words and truths as they are, other values as strings."""
    if isinstance(fact, tuple):
        return [_fact(part) for part in fact]
    return write_exact(fact) if isinstance(fact, Fraction) else fact


def _row(row: Row) -> JsonObject:
    """Return a row; what only some rows have is left out of the others.

    carries, unwritten  a "1" over each column carried into, or left out by the format
    """
    found = {
        "label": row.label,
        "bits": row.bits,
        "exponent": row.exponent,
        "lost": row.lost,
        "value": _exact(row.value),
        "spoken": row.spoken,
    }
    further = {name: getattr(row, name) for name in FURTHER if getattr(row, name)}
    stored = {} if row.stored is None else {"stored": row.stored}
    return found | further | stored


def _result(result: Result, *, hexadecimal: bool) -> JsonObject:
    found: JsonObject = {"outcome": result.outcome, "bits": result.bits, "value": _exact(result.value)}
    if hexadecimal:
        found["hexadecimal"] = result.hexadecimal
    if result.values:
        found["values"] = {
            name: {"bits": bits, "value": write_exact(value)} for name, (bits, value) in result.values.items()
        }
    return found


def _check(check: Check) -> JsonObject:
    return {
        "exact": write_exact(check.exact),
        "nearest": list(check.nearest),
        "by_rule": check.by_rule,
        "verdict": check.verdict,
        "error": _exact(check.error),
        "unavoidable_error": write_exact(check.unavoidable_error),
        "relative_error": _exact(check.relative_error),
        "error_ulps": _exact(check.error_ulps),
    }


def _exact(x: Fraction | None) -> str | None:
    return None if x is None else write_exact(x)
