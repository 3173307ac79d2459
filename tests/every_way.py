"""Every way of working an operation: the course's method, every other and every belief's."""

from __future__ import annotations

from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.procedures import other_methods, right_method

__all__ = ["ways"]


def ways(operation: str, course: Course) -> dict[str, Method]:
    """Return the course's method, every other and every belief's, by name."""
    found = {"right": right_method(operation, course)}
    for name in other_methods(operation, course):
        found[name] = right_method(operation, course, name)
    family = family_of(course.number_format)
    for belief in beliefs_for(operation, family):
        method = belief.method_for(operation, found["right"], family)
        assert method is not None
        found[belief.id] = method
    return found
