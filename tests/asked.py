"""Questions as they are typed, worked."""

import chalkpoint as cp
from chalkpoint.working.steps import Step

__all__ = ["asked", "step_of"]


def asked(line: str) -> cp.Working:
    """Return the working of a question as it is typed: operation, operands, then options."""
    words, *options = line.split(" --")
    operation, *operands = words.split()
    chosen = dict(option.split(" ", 1) for option in options)
    accepts = tuple(chosen.pop("accepts", "").split())
    course = cp.Course(accepts=accepts).with_(**chosen)
    return cp.work(operation, *operands, course=course)


def step_of(working: cp.Working, rule: str) -> Step:
    """Return the step of *working* that *rule* wrote."""
    return next(step for step in working.steps if step.rule == rule)
