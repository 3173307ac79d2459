"""Every form a lesson is made in, by name: one small maker each, which imports its medium when it is asked for."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TypeAlias

from chalkpoint.teaching.lesson import Lesson
from chalkpoint.teaching.storyboard import Storyboard

__all__ = ["MEDIA", "USUAL", "Files"]

#: Contents by name of file.
Files: TypeAlias = dict[str, bytes | str]


def _board(lesson: Lesson, told: Storyboard, look: str) -> Files:
    from chalkpoint.publishing.board import board

    return {"board.html": board(lesson, told)}


def _slides(lesson: Lesson, told: Storyboard, look: str) -> Files:
    from chalkpoint.publishing.slides import slides

    return {"slides.pptx": slides(told)}


def _sheet(lesson: Lesson, told: Storyboard, look: str) -> Files:
    from chalkpoint.publishing.sheet import sheet
    from chalkpoint.teaching.practice import practice_papers

    papers = json.dumps(practice_papers(lesson), ensure_ascii=False, indent=2)
    return {"sheet.html": sheet(lesson), "sheet.papers.json": f"{papers}\n"}


def _handout(lesson: Lesson, told: Storyboard, look: str) -> Files:
    from chalkpoint.publishing.handout import handout

    return {"handout.pdf": handout(lesson)}


def _cover(lesson: Lesson, told: Storyboard, look: str) -> Files:
    from chalkpoint.publishing.handout import cover

    return {"cover.pdf": cover(lesson, told)}


def _captions(lesson: Lesson, told: Storyboard, look: str) -> Files:
    from chalkpoint.publishing.captions import srt, vtt

    return {"captions.vtt": vtt(told), "captions.srt": srt(told)}


def _script(lesson: Lesson, told: Storyboard, look: str) -> Files:
    from chalkpoint.teaching.script import script

    return {"script.md": script(told)}


def _stills(lesson: Lesson, told: Storyboard, look: str) -> Files:
    from chalkpoint.publishing.film.stills import pngs

    drawn = enumerate(pngs(told, look=look), start=1)
    return {f"still-{number:03}.png": picture for number, picture in drawn}


def _linear(lesson: Lesson, told: Storyboard, look: str) -> Files:
    from chalkpoint.publishing.linear import linear

    return {"linear.txt": linear(told)}


MEDIA: dict[str, Callable[[Lesson, Storyboard, str], Files]] = {
    "board": _board,
    "slides": _slides,
    "sheet": _sheet,
    "handout": _handout,
    "cover": _cover,
    "captions": _captions,
    "script": _script,
    "stills": _stills,
    "linear": _linear,
}
USUAL = ("board", "slides", "sheet", "handout", "cover", "captions", "script")
