"""The narration as Markdown with timings: printed, changed in any editor, and read back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.digits import HELD
from chalkpoint.teaching.storyboard import Cue, Shot, Storyboard, pause, say_sentence

__all__ = ["clock", "read_script", "script"]

HOW = (
    "Change the sentences as you like, add lines or strike some out; times are worked out afresh when it is read "
    "back. Keep the headings: each is a picture."
)
PICTURE = re.compile(r"### +(\d+)\b")
LINE = re.compile(r"- +(?:\[[^\]]*\] *)?(.+)")
PAUSE = re.compile(r"\(pause (\d+(?:\.\d+)?) s(?:, ([^)]*))?\)")


def clock(milliseconds: int) -> str:
    """Return a time as minutes, seconds and tenths.

    >>> clock(75_450)
    '1:15.4'
    """
    minutes, rest = divmod(milliseconds, 60_000)
    return f"{minutes}:{rest // 1000:02}.{rest % 1000 // 100}"


def script(told: Storyboard) -> str:
    """Return the narration of *told* as Markdown."""
    lines = [f"# {told.title}", "", f"{HOW} The whole takes {clock(told.milliseconds)}.", ""]
    for number, (start, shot) in enumerate(told.timed(), start=1):
        if shot.chapter:
            lines += [f"## {shot.chapter}", ""]
        lines += [f"### {number} [{clock(start)}] {_picture(shot)}", ""]
        at = start
        for cue in shot.cues:
            lines.append(f"- [{clock(at)}] {_line(cue)}")
            at += cue.milliseconds
        lines.append("")
    return "\n".join(lines)


def _picture(shot: Shot) -> str:
    mark = f" ({shot.view.mark})" if shot.view.mark else ""
    return f"{shot.view.title}{mark}"


def _line(cue: Cue) -> str:
    if not cue.silent:
        return cue.written.replace(HELD, " ")
    seconds = f"{cue.milliseconds / 1000:.1f}".removesuffix(".0")
    return f"(pause {seconds} s, {cue.written})" if cue.written else f"(pause {seconds} s)"


def read_script(text: str, told: Storyboard) -> Storyboard:
    """Return *told* with the narration in *text*, which `script` wrote and a teacher changed.

    Raises EntryError where the headings of pictures are not those of *told*.
    """
    sections = dict(_sections(text))
    wanted = list(range(1, len(told.shots) + 1))
    if sorted(sections) != wanted:
        raise EntryError(
            f"the script has the pictures {_listed(sorted(sections))}; this lesson has 1 to {len(wanted)}: "
            'keep every heading such as "### 1"'
        )
    shots = [
        replace(shot, cues=tuple(_cues(sections[number], shot, told)))
        for number, shot in enumerate(told.shots, start=1)
    ]
    return replace(told, shots=tuple(shots))


def _sections(text: str) -> Iterator[tuple[int, list[str]]]:
    number, lines = 0, list[str]()
    for line in text.splitlines():
        heading = PICTURE.match(line)
        if heading or line.startswith("#"):
            if number:
                yield number, lines
            number, lines = int(heading[1]) if heading else 0, []
        elif number and (entry := LINE.fullmatch(line.strip())):
            lines.append(entry[1].strip())
    if number:
        yield number, lines


def _cues(lines: list[str], shot: Shot, told: Storyboard) -> Iterator[Cue]:
    """Yield a cue for each line: as it was where the line was kept; a new one is said over the picture before it."""
    if len(lines) == len(shot.cues):  # sentences were changed, none was added: each keeps its picture
        for line, cue in zip(lines, shot.cues, strict=True):
            kept = _line(cue) == line
            yield cue if kept else replace(_new_cue(line, told), moment=cue.moment, weight=cue.weight)
        return
    left, moment = list(shot.cues), None
    for line in lines:
        place = next((at for at, cue in enumerate(left) if _line(cue) == line), None)
        if place is None:
            yield replace(_new_cue(line, told), moment=moment)
            continue
        moment = left[place].moment
        yield left[place]
        del left[: place + 1]


def _new_cue(line: str, told: Storyboard) -> Cue:
    silence = PAUSE.fullmatch(line)
    if silence:
        whole, _, tenths = silence[1].partition(".")
        return pause(silence[2] or "", int(whole) * 1000 + int((tenths + "000")[:3]))
    return say_sentence(line, told.course, told.pace)


def _listed(numbers: list[int]) -> str:
    return ", ".join(map(str, numbers)) or "none"
