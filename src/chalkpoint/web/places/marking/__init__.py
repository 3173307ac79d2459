"""Mark: answers in, marks with their reasons out, decisions left to the teacher."""

from chalkpoint.web.places.marking import (
    again,
    answers,
    classes,
    entering,
    files,
    papers,
    questions,
    reports,
    rulings,
    scripts,
    second,
    stacks,
    table,
    term,
)

__all__ = ["ROUTES"]

ROUTES = [
    *papers.ROUTES,
    *answers.ROUTES,
    *again.ROUTES,
    *rulings.ROUTES,
    *table.ROUTES,
    *scripts.ROUTES,
    *entering.ROUTES,
    *files.ROUTES,
    *reports.ROUTES,
    *second.ROUTES,
    *stacks.ROUTES,
    *questions.ROUTES,
    *classes.ROUTES,
    *term.ROUTES,
]
