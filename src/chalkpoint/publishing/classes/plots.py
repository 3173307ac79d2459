"""Small plots as SVG: a dot a pupil, and squares that fill with the marks lost. Each has its sentence beside it."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["dots", "dots_in_words", "square"]

DOT, ACROSS, UP = 10, 3, 8  # a dot's room, dots in a row, a row's height
MOST_DOTS = 60  # in one column; of larger classes a dot is several pupils
LEAST_COLUMN = ACROSS * DOT + 14


def dots(counts: Mapping[int, int], of: int) -> tuple[str, int, int, int]:
    """Return a dot plot of marks 0 to *of*: its SVG shapes, width, height, and how many pupils a dot is.

    >>> dots({2: 1}, 2)[1:]
    (134, 40, 1)
    """
    worth = max(1, -(-max(counts.values(), default=1) // MOST_DOTS))
    stacks = {mark: -(-counts.get(mark, 0) // worth) for mark in range(of + 1)}
    rows = max(1, *(-(-stack // ACROSS) for stack in stacks.values()))
    base = rows * UP + 12
    width, height = 2 + (of + 1) * LEAST_COLUMN, base + 20
    shapes = [f'<path d="M2 {base}h{width - 4}" class="ax"/>']
    for mark, stack in stacks.items():
        left = 2 + mark * LEAST_COLUMN + LEAST_COLUMN / 2
        shapes.append(f'<text x="{left:g}" y="{base + 16}" text-anchor="middle">{mark}</text>')
        shapes += [
            f'<circle cx="{left - DOT + DOT * (at % ACROSS):g}" cy="{base - 6 - UP * (at // ACROSS)}" r="3.6"/>'
            for at in range(stack)
        ]
    return "".join(shapes), width, height, worth


def dots_in_words(number: int, counts: Mapping[int, int], of: int) -> str:
    """Return the sentence that says what a dot plot shows.

    >>> dots_in_words(1, {0: 1, 3: 20}, 3)
    'Question 1, marks out of 3: 1 with 0, 20 with 3.'
    """
    parts = [f"{counts[mark]} with {mark}" for mark in range(of + 1) if counts.get(mark)]
    return f"Question {number}, marks out of {of}: {', '.join(parts) or 'none marked'}."


def square(lost: int, of: int, unseen: int = 0) -> str:
    """Return the shapes of a square of 20 units that fills from below with the share of marks lost.

    unseen  the part of *lost* where nothing is known: hatched, above what is shown wrong

    >>> square(0, 4)
    '<path class="o" d="M.5 .5h19v19h-19z"/>'
    """
    frame = '<path class="o" d="M.5 .5h19v19h-19z"/>'
    if not lost or not of:
        return frame
    solid, filled = (20 * min(part, of) / of for part in (lost - unseen, lost))
    shapes = f'<path d="M0 {20 - solid:.1f}h20v{solid:.1f}H0z"/>' if solid else ""
    return f"{frame}{_hatched(20 - filled, 20 - solid)}{shapes}"


def _hatched(top: float, bottom: float) -> str:
    """Return strokes rising to the right between two heights: parts of the lines x + y = 4, 8, ..."""
    strokes = []
    for total in range(4, 40, 4):
        left, right = max(0.0, total - bottom), min(20.0, total - top)
        if left < right:
            strokes.append(f"M{left:.1f} {total - left:.1f}L{right:.1f} {total - right:.1f}")
    return f'<path class="h1" d="{"".join(strokes)}"/>' if strokes else ""
