"""Frames: what is shown when, on columns common to a whole lesson."""

from chalkpoint.publishing.frames import frames, together
from chalkpoint.publishing.parts import PlaceValues, Rail, Threads
from chalkpoint.publishing.stage import BOTTOM, TOP, Stage
from lessons import one_working, told


def test_columns_are_common_to_the_lesson() -> None:
    """Every scene has the same outermost columns, whatever its own working uses."""
    grids = {(frame.scene.first, frame.scene.last) for _, frame in frames(told()) if frame.scene}

    assert len(grids) == 1


def test_threads_are_shown_with_the_row_below() -> None:
    """Nobody sees where digits go before they have gone there."""
    for _, frame in frames(told()):
        for (item, shown), (below, below_shown) in zip(frame.items, frame.items[1:], strict=False):
            if isinstance(item, Threads):
                assert isinstance(below, Rail)
                assert shown == below_shown


def test_a_whole_pattern_has_its_place_values() -> None:
    """Under the last row of every step that ends in one."""
    for _, frame in frames(one_working()):
        rails = [item for item, _ in frame.items if isinstance(item, Rail)]
        if rails and rails[-1].exponent:
            assert isinstance(frame.items[-1][0], PlaceValues)


def test_decimals_are_those_of_the_rows_shown() -> None:
    """A hidden row's value stays hidden too."""
    for _, frame in frames(told()):
        hidden = [item.value for item, shown in frame.items if isinstance(item, Rail) and not shown]
        shown = [item.value for item, shown in frame.items if isinstance(item, Rail) and shown]
        assert [
            value for value in hidden if value and value in frame.decimals.split() and value not in shown
        ] == []


def test_the_tray_has_no_walls_before_something_fell_into_it() -> None:
    """A wall would give away that a bit is lost."""
    stage = Stage.of(frame for _, frame in frames(one_working()))
    before, after = [frame for _, frame in frames(one_working()) if frame.title == "Match the exponents"]

    assert not any(row["wall"] for row in stage.rows(before))
    assert any(row["wall"] for row in stage.rows(after))


def test_a_hidden_row_is_a_rail_with_nothing_in_it() -> None:
    """The class can write into it: as many places, no digit, no tray."""
    stage = Stage.of(frame for _, frame in frames(one_working()))
    before = next(frame for _, frame in frames(one_working()) if frame.title == "Match the exponents")
    row = stage.rows(before)[2]

    assert [cell["digit"] for cell in (*row["cells"], *row["exponent"])] == [""] * 12
    assert {cell["kind"] for cell in row["cells"]} == {"kept"}


def test_every_frame_fits_its_stage() -> None:
    """Rows stand between the words above and the line below."""
    stage = Stage.of(frame for _, frame in frames(told()))
    for _, frame in frames(told()):
        rows = stage.rows(frame)
        assert stage.top(rows) >= TOP
        assert stage.top(rows) + stage.height(rows) * stage.u <= BOTTOM + 1


def test_a_steps_rows_come_together_unless_a_pause_parts_them() -> None:
    """On slides the question and its answer are two pictures; a plain step is one."""
    titles = [frame.title for _, frame in together(frames(one_working()))]

    assert titles.count("Negate the second") == 1
    assert titles.count("Normalise") == 2
