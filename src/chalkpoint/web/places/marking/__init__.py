"""Mark: answers in, marks with their reasons out, decisions left to the teacher."""

from chalkpoint.web.places.marking import (
    answers,
    classes,
    entering,
    papers,
    questions,
    reports,
    rulings,
    scripts,
    second,
    term,
)

__all__ = ["ROUTES"]

ROUTES = [
    *papers.ROUTES,
    *answers.ROUTES,
    *rulings.ROUTES,
    *scripts.ROUTES,
    *entering.ROUTES,
    *reports.ROUTES,
    *second.ROUTES,
    *questions.ROUTES,
    *classes.ROUTES,
    *term.ROUTES,
]
