"""Workings whose pictures are read back: every family, awkward numbers, long names, wide formats."""

from __future__ import annotations

import chalkpoint as cp

__all__ = ["CASES", "WORKINGS"]

LONG = ("the upstream gauge house", "the datum at Brackwater quay")
CASES: dict[str, tuple[str, list[str], str, dict[str, object]]] = {
    "lost bits": ("subtract", ["8.875", "3.6875"], "8+4", {}),
    "-1.0 taken away": ("subtract", ["0.5", "-1"], "5+3", {}),
    "-1.0 twice": ("add", ["-1", "-1"], "5+3", {}),
    "overflow": ("subtract", ["01111 011", "10000 011"], "5+3", {}),
    "zero": ("add", ["0", "5.25"], "8+4", {}),
    "all 1s": ("add", ["11111111 1111", "11111111 1111"], "8+4", {}),
    "long names": ("subtract", ["6.5", "0.1"], "8+4", {"names": LONG}),
    "two losses": ("add", ["5.5", "3.6875"], "8+4", {}),
    "guard bit": ("subtract", ["01000111 0100", "00101111 0001"], "8+4", {"method": "one-guard-bit"}),
    "in full": ("subtract", ["8.875", "0.7"], "8+4", {"method": "exact-then-truncate"}),
    "spare place": ("add", ["8.875", "3.6875"], "8+4", {"method": "spare-place-first"}),
    "exponent first": ("add", ["2.75", "3.6875"], "8+4", {"exponent": "first"}),
    "excess": ("add", ["2.75", "3.6875"], "8+4 excess-8", {}),
    "sign and size": ("subtract", ["2.75", "3.6875"], "8+4 sign-and-magnitude", {}),
    "24+8": ("add", ["1234.567", "0.00123"], "24+8", {}),
    "64+16": ("subtract", ["1e9", "12345.678"], "64+16", {}),
    "binary16": ("add", ["1.1", "2.7"], "binary16", {}),
    "binary32": ("subtract", ["1.1", "2.7"], "binary32", {}),
    "binary64": ("add", ["1.1", "2.7e-5"], "binary64", {}),
    "E4M3": ("add", ["6.5", "1.375"], "E4M3", {}),
    "infinity": ("subtract", ["-200", "100"], "1+4+3", {}),
    "1750A-32": ("add", ["1.5", "-2.7"], "1750A-32", {}),
    "1750A-48": ("subtract", ["1.1", "300.7"], "1750A-48", {}),
    "C3x-32": ("add", ["1.1", "-300.7"], "C3x-32", {}),
    "C3x-16": ("add", ["1.1", "-3.7"], "C3x-16", {}),
    "Q5.3": ("add", ["2.375", "-1.625"], "Q5.3", {}),
    "Q0.8": ("subtract", ["0.25", "-0.125"], "Q0.8", {}),
    "8": ("add", ["5", "9"], "8", {}),
    "8, carries": ("subtract", ["-77", "51"], "8", {}),
    "8 unsigned": ("add", ["200", "100"], "8 unsigned", {}),
    "8 unsigned, less": ("subtract", ["200", "100"], "8 unsigned", {}),
    "multiply": ("multiply", ["1.5", "-2.75"], "8+4", {}),
    "divide": ("divide", ["1.5", "-2.75"], "8+4", {}),
    "divide, many places": ("divide", ["0.7476", "0.6936"], "24+8", {}),
    "multiply, many rows": (
        "multiply",
        ["010110101011011010110111 00000000", "011111110111111111111111 00000001"],
        "24+8",
        {},
    ),
    "multiply sizes": ("multiply", ["1.1", "2.7"], "binary16", {}),
    "divide sizes": ("divide", ["1.1", "2.7"], "1+4+3", {}),
    "multiply 8": ("multiply", ["13", "-11"], "8", {}),
    "divide 8": ("divide", ["113", "-11"], "8", {}),
    "multiply 32": ("multiply", ["123456", "32109"], "32", {}),
    "sum": ("sum", ["64", "-0.25", "-64", "1", "1", "3.5"], "8+4", {}),
    "range": ("range", [], "8+4", {}),
    "range of 8": ("range", [], "8 excess-128", {}),
    "choose": ("choose-format", ["-10", "40", "0.25"], "8+4", {}),
    "convert": ("convert", ["1.1", "binary16"], "8+4", {}),
    "convert back": ("convert", ["-0.1", "8+4"], "1+4+3", {}),
    "encode": ("encode", ["0.1"], "10+6", {}),
    "rounded up": ("encode", ["5.29"], "8+4", {"rounding": "nearest"}),
    "decode": ("decode", ["0.0000000 0101"], "8+4", {}),
    "negate": ("negate", ["8 ones"], "8+4", {}),
    "ones' complement": ("negate", ["5"], "8 ones-complement", {}),
    "normalise": ("normalise", ["00000001 0101"], "8+4", {}),
}


def work(name: str) -> cp.Working:
    """Work a case."""
    operation, operands, spelling, more = CASES[name]
    operands = ["00000000 1000"] if operands == ["8 ones"] else operands
    names = more.get("names", ())
    conventions = {key: value for key, value in more.items() if key != "names"}
    course = cp.Course(format=spelling, **conventions)  # type: ignore[arg-type]
    return cp.work(operation, *operands, course=course, names=names)  # type: ignore[arg-type]


WORKINGS = {name: work(name) for name in CASES}
