"""Papers of the Brackwater tide station, set once for all tests that look at them."""

from functools import cache

from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.papers import SetPapers
from chalkpoint.setting.setter import set_papers

__all__ = ["DIAGNOSING", "EVERY_KIND", "IN_WORDS", "OTHER_FORMATS", "PRACTICE", "WHOLE", "papers"]

COURSE = """
[course]
name = "12 Heron"
format = "8+4"
accepts = ["negate-then-align"]
"""

WHOLE = f"""
title = "Gauge readings"
{COURSE}
[[question]]
operation = "decode"
where = ["sign-pattern = -"]
context = true
[[question]]
operation = "add"
where = ["align-shift = 1", "mantissa-overflow"]
context = true
[[question]]
operation = "subtract"
where = ["align-shift = 2", "exact-result"]
marks = 6
count = 2
[[question]]
operation = "range"
"""

EVERY_KIND = f"""
title = "Tide and mast"
methods = "list the answers"
accidental = "needs working"
{COURSE}
[[question]]
operation = "encode"
where = ["sign-pattern = -"]
[[question]]
operation = "normalise"
[[question]]
operation = "negate"
[[question]]
operation = "error"
context = true
[[question]]
operation = "subtract"
where = ["shifted-operand = second", "lost-ones >= 1"]
[[question]]
operation = "add"
where = ["exponent-overflow"]
[[question]]
operation = "multiply"
context = true
[[question]]
operation = "divide"
context = true
[[question]]
operation = "subtract"
kind = "mistake"
[[question]]
operation = "subtract"
kind = "faded"
count = 2
"""

PRACTICE = f"""
title = "Taking one reading from another"
purpose = "practice"
{COURSE}
[[question]]
operation = "subtract"
[[question]]
operation = "decode"
"""

DIAGNOSING = f"""
title = "What do we do when we subtract?"
purpose = "diagnose"
most = 6
{COURSE}
[[question]]
operation = "add"
[[question]]
operation = "subtract"
"""

OTHER_FORMATS = """
title = "Other recorders"
[course]
name = "12 Heron"
format = "binary16"
[[question]]
operation = "decode"
[[question]]
operation = "encode"
[[question]]
operation = "add"
[[question]]
operation = "multiply"
format = "E4M3"
[[question]]
operation = "range"
format = "1+4+3"
[[question]]
operation = "decode"
format = "8"
[[question]]
operation = "negate"
format = "8"
[[question]]
operation = "subtract"
format = "Q5.3"
[[question]]
operation = "error"
format = "Q5.3"
[[question]]
operation = "add"
format = "1750A-32"
[[question]]
operation = "add"
format = "C3x-16"
"""

IN_WORDS = f"""
title = "Which recorder?"
{COURSE}
[[question]]
operation = "convert"
to = "6+4"
[[question]]
operation = "convert"
format = "1+4+3"
to = "8"
[[question]]
operation = "sum"
[[question]]
operation = "choose-format"
[[question]]
operation = "sum"
format = "Q5.3"
operands = ["2.5", "-1.25", "3"]
[[question]]
operation = "explain"
about = "subtract"
where = ["lost-ones >= 1"]
marks = 3
[[question]]
operation = "explain"
format = "binary16"
operands = ["add", "1000", "0.125"]
"""


@cache
def papers(blueprint: str, variants: int = 3, seed: int = 7) -> SetPapers:
    """Return the papers of a blueprint's text."""
    return set_papers(parse_blueprint(blueprint), variants=variants, seed=seed)
