"""Plots: as many dots as pupils, and squares that fill with what was lost."""

from collections import Counter

from chalkpoint.publishing.classes.plots import dots, square


def test_a_dot_a_pupil() -> None:
    """There is a dot for each pupil of a small class."""
    shapes, _, _, worth = dots(Counter({0: 2, 3: 5}), 3)
    assert (shapes.count("<circle"), worth) == (7, 1)


def test_a_large_class_has_fewer_dots() -> None:
    """A dot is several pupils where there are many, and it is said how many."""
    shapes, _, _, worth = dots(Counter({1: 10_000}), 2)
    assert shapes.count("<circle") <= 60
    assert worth == 167


def test_a_square_fills_with_what_was_lost() -> None:
    """White is right; half lost is half filled; all lost is full."""
    assert square(0, 4).count("<path") == 1
    assert "M0 10.0h20v10.0H0z" in square(2, 4)
    assert "M0 0.0h20v20.0H0z" in square(4, 4)
