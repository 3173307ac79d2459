"""Pages of words: the question, sentences, four answers."""

from __future__ import annotations

from collections.abc import Iterator

from chalkpoint.publishing.film.items import WIDTH, Strokes, Words, fitting, text_width
from chalkpoint.publishing.film.picture import Picture
from chalkpoint.teaching.storyboard import View

__all__ = ["draw_choices", "draw_question", "draw_words", "wrapped"]

LEFT = 110.0
ROOM = WIDTH - 2 * LEFT


def wrapped(text: str, size: float, room: float) -> Iterator[str]:
    """Yield *text* in lines no wider than *room*."""
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}".strip()
        if line and text_width(longer, size) > room:
            yield line
            line = word
        else:
            line = longer
    yield line


def draw_question(picture: Picture, view: View, *, whole: bool) -> None:
    """State the question; below it, once it is *whole*, what to expect."""
    size = fitting(view.title, ROOM / 1.09, 100, 40)
    y = 450.0
    for at, line in enumerate(wrapped(view.title, size, ROOM)):
        words = Words(runs=((line, "bold"),), x=WIDTH / 2, y=y, size=size, anchor="middle")
        picture.items[f"asked{at}"] = words
        y += 1.3 * size
    for at, line in enumerate(view.lines if whole else ()):
        size = fitting(line, ROOM, 62, 30)
        words = Words(runs=((line, "change"),), x=WIDTH / 2, y=y + 60, size=size, anchor="middle")
        picture.items[f"expected{at}"] = words
        y += 1.5 * size


def _title(picture: Picture, view: View) -> float:
    size, y = fitting(view.title, ROOM * 1.8, 60, 34), 130.0
    for at, line in enumerate(wrapped(view.title, size, ROOM)):
        picture.items[f"title{at}"] = Words(runs=((line, "bold"),), x=LEFT, y=y, size=size)
        y += 1.25 * size
    return y


def draw_words(picture: Picture, view: View) -> None:
    """Write the title and the lines said so far."""
    y = _title(picture, view) + 60
    size = 50.0
    while (
        size > 28 and sum(len(list(wrapped(line, size, ROOM))) for line in view.lines) * 1.5 * size > 900 - y
    ):
        size -= 4
    for at, text in enumerate(view.lines):
        for part, line in enumerate(wrapped(text, size, ROOM)):
            picture.items[f"line{at}.{part}"] = Words(runs=((line, ""),), x=LEFT, y=y, size=size)
            y += 1.35 * size
        y += 0.5 * size


def draw_choices(picture: Picture, view: View) -> None:
    """Write the question and the four answers, the right one marked once it is revealed."""
    y = _title(picture, view) + 10
    if view.detail:
        size = fitting(view.detail, ROOM, 56, 28)
        picture.items["asked"] = Words(runs=((view.detail, ""),), x=LEFT, y=y, size=size)
        y += 1.2 * size
    y = max(y + 40, 300)
    each = min(160.0, (930 - y) / max(1, len(view.choices)))
    for choice in view.choices:
        right = view.revealed and choice.right
        name = f"choice{choice.letter}"
        side = Strokes(ways=((LEFT, LEFT, "fallen" if right else "kept"),), y=y - 48, h=0.8 * each)
        picture.items[f"{name}.side"] = side
        runs = ((f"{choice.letter}   ", "bold"), (choice.answer, "change" if right else ""))
        size = fitting(choice.answer, ROOM - 200, 60, 30)
        picture.items[name] = Words(runs=runs, x=LEFT + 40, y=y, size=size)
        below = "right" if right else choice.says if view.revealed else ""
        if below:
            small = fitting(below, ROOM - 160, 36, 22)
            picture.items[f"{name}.says"] = Words(
                runs=((below, "change" if right else "soft"),), x=LEFT + 150, y=y + 0.36 * each, size=small
            )
        y += each
