"""What the catalogue of beliefs promises."""

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.beliefs.belief import FAMILIES, Belief
from chalkpoint.working.beliefs.catalogue import BELIEFS, beliefs_for, parse_belief

EVERY = list(BELIEFS.values())


@pytest.mark.parametrize("belief", EVERY, ids=list(BELIEFS))
def test_a_belief_is_told_in_full(belief: Belief) -> None:
    """Its sentence and hints end like sentences, its evidence is one of three, and it acts somewhere."""
    assert belief.says.endswith(".")
    assert belief.nudge[-1] in "?."
    assert all(hint.strip() for hint in belief.hints)
    assert belief.evidence in {"R", "T", "C"}
    assert belief.weight in {1, 2, 3}
    assert belief.places


@pytest.mark.parametrize("belief", EVERY, ids=list(BELIEFS))
def test_names_of_other_beliefs_are_known(belief: Belief) -> None:
    """Look-alikes are in the catalogue, and name each other."""
    assert set(belief.alike) <= set(BELIEFS)
    assert all(belief.id in BELIEFS[other].alike for other in belief.alike)


@pytest.mark.parametrize("belief", EVERY, ids=list(BELIEFS))
def test_a_place_is_in_a_known_family_and_changes_something(belief: Belief) -> None:
    """No place is empty, and no operation of a family has two."""
    where = [(operation, place.family) for place in belief.places for operation in place.operations]
    assert len(where) == len(set(where))
    assert all(place.family in FAMILIES and place.rules for place in belief.places)


def test_a_misspelt_belief_is_refused() -> None:
    """The sentence says which names are near."""
    with pytest.raises(EntryError, match="did you mean invert-only"):
        parse_belief("invert-onyl")


def test_beliefs_about_subtraction_hold_those_about_addition() -> None:
    """Whatever goes wrong in an addition can go wrong in a subtraction."""
    assert set(beliefs_for("add")) < set(beliefs_for("subtract"))
