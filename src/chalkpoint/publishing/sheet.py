"""The homework sheet: one offline page, feedback and hints line by line, what was done saved as a table of answers."""

from __future__ import annotations

import json
from importlib.resources import files

from chalkpoint.publishing.html import templates
from chalkpoint.teaching.lesson import Lesson
from chalkpoint.teaching.practice import ANSWER, practice

__all__ = ["sheet"]


def sheet(lesson: Lesson) -> str:
    """Return the practice page of *lesson*.

    What a pupil saves is a table `student,variant,question,line,written`, as marking reads it.
    """
    questions = practice(lesson)
    known = [
        [
            {
                "expects": _plain(line.expects),
                "wrong": {_plain(bits): nudge for bits, nudge in line.wrong},
                "hints": line.hints,
            }
            for line in question.lines
        ]
        for question in questions
    ]
    folder = files("chalkpoint.publishing") / "templates"
    return (
        templates()
        .get_template("sheet.html.jinja")
        .render(
            lesson=lesson,
            questions=questions,
            answer=ANSWER,
            data=json.dumps(known, ensure_ascii=False).replace("<", "\\u003c"),
            style=(folder / "sheet.css").read_text(encoding="utf-8").strip(),
            script=(folder / "sheet.js").read_text(encoding="utf-8").strip(),
        )
    )


def _plain(written: str) -> str:
    """Return what a line is compared by: no spaces, no points, small letters."""
    return "".join(written.lower().split()).replace(".", "")
