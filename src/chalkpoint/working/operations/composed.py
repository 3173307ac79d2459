"""Operations made of others, or of formats: they are worked alike in every family."""

from __future__ import annotations

from chalkpoint.working.choosing import CHOOSING, ChoicePage, choose_format, chosen_for
from chalkpoint.working.converting import convert
from chalkpoint.working.explaining import explain
from chalkpoint.working.operations.declaration import Composition, Declaration, Ending
from chalkpoint.working.summing import add_up
from chalkpoint.working.wording.choosing import ChoiceWriter

__all__ = ["CHOICE", "COMPOSED"]

COMPOSED: dict[str, Composition] = {
    "convert": Composition(convert),
    "sum": Composition(add_up),
    "choose-format": Composition(choose_format),
    "explain": Composition(explain),
}

#: Choosing a format as its lines are written, for beliefs to replace: the fields' bits, one after the other.
CHOICE: Declaration[ChoicePage] = Declaration(
    method=lambda course, name: CHOOSING,
    begin=lambda question: ChoicePage(),
    context=chosen_for,
    answer=lambda page, question: f"{page.mantissa}+{page.exponent}",
    end=lambda page, question: Ending("in range", None),
    exact=lambda question: question.amounts[1],
    writer=lambda question, method: ChoiceWriter.of(question),
)
