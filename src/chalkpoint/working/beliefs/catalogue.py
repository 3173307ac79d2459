"""Every belief, by name, and which pass for one another on paper."""

from __future__ import annotations

from functools import cache

from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.working.beliefs.adding import COLUMNS
from chalkpoint.working.beliefs.aligning import ALIGNING
from chalkpoint.working.beliefs.belief import FLOAT, Belief
from chalkpoint.working.beliefs.carrying import CARRYING
from chalkpoint.working.beliefs.choosing import CHOOSING_BELIEFS
from chalkpoint.working.beliefs.decoding import DECODING_BELIEFS
from chalkpoint.working.beliefs.encoding import ENCODING
from chalkpoint.working.beliefs.fractions import FRACTIONS
from chalkpoint.working.beliefs.ieee_reading import IEEE_READING
from chalkpoint.working.beliefs.ieee_writing import IEEE_WRITING
from chalkpoint.working.beliefs.integers import INTEGERS
from chalkpoint.working.beliefs.multiplying import MULTIPLYING
from chalkpoint.working.beliefs.negating import NEGATING
from chalkpoint.working.beliefs.normalising import NORMALISING
from chalkpoint.working.beliefs.ranging import RANGING_BELIEFS
from chalkpoint.working.beliefs.rounding import ROUNDING

__all__ = ["BELIEFS", "GROUPS", "beliefs_for", "parse_belief"]

#: Every belief, under the part of the work it belongs to.
GROUPS: dict[str, tuple[Belief, ...]] = {
    "whole numbers": INTEGERS,
    "fractions": FRACTIONS,
    "reading a pattern": DECODING_BELIEFS,
    "writing a pattern": ENCODING,
    "matching the exponents": ALIGNING,
    "negating": NEGATING,
    "adding columns": COLUMNS,
    "carries and overflow": CARRYING,
    "normalising": NORMALISING,
    "rounding and error": ROUNDING,
    "range": RANGING_BELIEFS,
    "choosing a format": CHOOSING_BELIEFS,
    "multiplying": MULTIPLYING,
    "reading an IEEE pattern": IEEE_READING,
    "writing an IEEE pattern": IEEE_WRITING,
}
BELIEFS: dict[str, Belief] = {belief.id: belief for beliefs in GROUPS.values() for belief in beliefs}


@cache
def beliefs_for(operation: str, family: str = FLOAT, *, past_range: bool = False) -> tuple[Belief, ...]:
    """Return the beliefs that act in *operation* on *family*, in the order of the catalogue.

    past_range  whether those too that show only where an operand is past the range

    >>> [belief.id for belief in beliefs_for("negate") if belief.step == "negate"]
    ['invert-only', 'sign-bit-only', 'keep-sign-invert-rest', 'add-then-invert']
    """
    every = BELIEFS.values()
    return tuple(belief for belief in every if belief.place_for(operation, family, past_range=past_range))


def parse_belief(name: str) -> Belief:
    """Return the belief called *name*; raise EntryError with near misses if there is none.

    >>> parse_belief("invert-only").hints[0]
    'Add your answer to the original: is it zero?'
    """
    if name not in BELIEFS:
        raise EntryError(f"{name!r} is not a belief; {near_misses(name, BELIEFS)}")
    return BELIEFS[name]
