"""Papers of the Brackwater tide station, set once for all tests that look at them."""

from functools import cache

from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.papers import Papers
from chalkpoint.setting.setter import set_papers

__all__ = ["DIAGNOSING", "EVERY_KIND", "PRACTICE", "WHOLE", "papers"]

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


@cache
def papers(blueprint: str, variants: int = 3, seed: int = 7) -> Papers:
    """Return the papers of a blueprint's text."""
    return set_papers(parse_blueprint(blueprint), variants=variants, seed=seed)
