"""Rails: what differs is marked, and said for the ear."""

from chalkpoint.publishing.classes.rails import rail_pair


def test_what_differs_is_marked() -> None:
    """The one digit that differs is marked, in the written row alone."""
    drawn = rail_pair("0.1010011 0011", "0.1010111 0011")
    assert drawn.count('class="ch"') == 1
    assert "written 01010011 0011, expected 01010111 0011" in drawn


def test_what_is_no_row_stands_as_it_is() -> None:
    """A word is shown as it was written, its markup escaped."""
    assert "&lt;i&gt;overflow" in rail_pair("<i>overflow", "01010111 0011")
