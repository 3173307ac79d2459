"""What a pupil is told: what was good, the first thing to put right in each question, and one thing to try.

Read from the entry of `chalkpoint.marks/1` and the working of each question. A belief is never named to a pupil, nor
quoted: only the right rule that answers it is said.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from chalkpoint.marking.marks import mark_question
from chalkpoint.marking.reteaching import fresh_question
from chalkpoint.marking.saying import first_hint
from chalkpoint.marking.students import Entry, shows_skill
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.papers import Asked, Papers
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.question import Question, ask
from chalkpoint.working.wording.heading import heading
from chalkpoint.working.wording.said import listed, plural
from chalkpoint.working.wording.words_pupils import PAGE, PLAIN, SKILL_WORDS
from chalkpoint.working.work import work_question

__all__ = ["Feedback", "LineFeedback", "QuestionFeedback", "feedback"]

WRONG = ("misconception", "copied", "off")
WELL = ("right", "follow-through", "recovered")
MOST_GOOD = 3
LEAST_OF_SKILL = 2  # marks of a skill, all earned, that are worth a word
#: Operations whose lines are answers themselves.
IN_PARTS = ("range", "error", "sum", "convert", "choose-format", "explain")


@dataclass(frozen=True, slots=True)
class LineFeedback:
    """A line that was written.

    marks, of    of the points of the scheme on it; 0 of 0 where it has none
    is_well      whether it earned its marks: by itself, or from the line before
    is_wrong     whether it is unlike what its rule gives
    expects      what the right working has there
    """

    name: str
    text: str
    marks: int
    of: int
    is_well: bool
    is_wrong: bool
    expects: str = ""


@dataclass(frozen=True, slots=True)
class QuestionFeedback:
    """One question as its pupil sees it again.

    words     what it asks
    lines     what was written, in the order of the working, the answer among it
    first     the line of the first wrong bit, or ""
    sentence  what is right, and the next step; "" where nothing is wrong
    waits     whether the teacher still looks at it
    """

    number: int
    question: Question
    words: str
    marks: int
    of: int
    lines: tuple[LineFeedback, ...]
    first: str
    sentence: str
    waits: bool

    @property
    def is_full(self) -> bool:
        """Whether every mark was earned."""
        return self.marks == self.of


@dataclass(frozen=True, slots=True)
class Feedback:
    """A pupil's page.

    good      at most three sentences, each true of what was written
    to_try    the one thing to try, in a sentence
    test      a question that the pupil can put to their own work, or ""
    seen_in   the numbers of the questions where it shows
    fresh     a question not asked yet; None where none is to be had
    """

    student: str
    title: str
    marks: int
    of: int
    good: tuple[str, ...]
    to_try: str
    test: str
    seen_in: tuple[int, ...]
    questions: tuple[QuestionFeedback, ...]
    fresh: Question | None

    @property
    def look(self) -> str:
        """Where to look for what there is to try, in a sentence; "" where it shows nowhere."""
        numbers = [str(number) for number in self.seen_in]
        return several("look", numbers) if numbers else ""


def feedback(entry: Entry, papers: Papers) -> Feedback:
    """Return what the pupil of *entry* is told.

    >>> from chalkpoint.marking.classes import mark
    >>> from chalkpoint.setting.paperfile import papers_from
    >>> paper = {"schema": "chalkpoint.papers/1", "papers": [
    ...     {"questions": [{"operation": "subtract", "operands": ["8.875", "3.6875"], "format": "8+4"}]}]}
    >>> rows = [["student", "1 align", "1 negate", "1"], ["H07", "0.0011101", "1.1100010", "0.1010010 0011"]]
    >>> told = feedback(mark(paper, rows)["students"][0], papers_from(paper))
    >>> told.questions[0].first, told.seen_in
    ('negate', (1,))
    >>> told.questions[0].sentence
    'Your line align is right; invert every bit, then add one in the last place.'
    """
    paper = papers.variants.get(entry["variant"], papers.first)
    asked = {one.number: one for one in paper.questions}
    told = [(asked[question["question"]], question) for question in entry["questions"]]
    questions = tuple(_question(one, question) for one, question in told)
    to_try, test, seen_in = _to_try(entry, told)
    return Feedback(
        entry["student"],
        papers.title or papers.course.name or PAGE["paper"],
        entry["marks"],
        entry["of"],
        tuple(_good(told))[:MOST_GOOD],
        to_try,
        test,
        seen_in,
        questions,
        _fresh(entry, papers, told),
    )


def _question(asked: Asked, question: Entry) -> QuestionFeedback:
    lines = tuple(_lines(asked, question))
    first = next((line.name for line in lines if line.is_wrong), "")
    waits = any(point["for_teacher"] for point in question["points"])
    full = question["marks"] == question["of"]
    return QuestionFeedback(
        asked.number,
        asked.question,
        asked.words or heading(asked.question),
        question["marks"],
        question["of"],
        lines,
        "" if full else first,
        "" if full else _sentence(asked, question, lines, first, waits=waits),
        waits,
    )


def _lines(asked: Asked, question: Entry) -> Iterator[LineFeedback]:
    """Yield what was written, in the order of the scheme, lines that have no mark in their order of writing."""
    written = dict(question.get("lines", {}))
    if question["answer"]:
        written["answer"] = question["answer"]
    order = list(dict.fromkeys(point["rule"] for point in question["points"]))
    names = sorted(written, key=lambda name: order.index(name) if name in order else -1)
    answer = final_answer(work_question(asked.question))
    for name in names:
        points = [point for point in question["points"] if point["rule"] == name]
        wrong = any(point["status"] in WRONG and not point["for_teacher"] for point in points)
        yield LineFeedback(
            name,
            written[name],
            sum(point["marks"] for point in points),
            sum(point["of"] for point in points),
            bool(points)
            and all(point["status"] in (*WELL, "implied") and point["marks"] for point in points),
            wrong,
            answer
            if name == "answer"
            else next((point["expects"] for point in points if "expects" in point), ""),
        )


# === The sentence of a question ===


def _sentence(
    asked: Asked, question: Entry, lines: tuple[LineFeedback, ...], first: str, *, waits: bool
) -> str:
    if not lines:
        title = work_question(asked.question).steps[0].title.lower()
        return PAGE["nothing"].format(title)
    well = _well(question, lines, first)
    if first:
        return _joined(well, _rule(asked, first, _among(question, first)))
    if waits:
        return PAGE["waits"]
    missing = [point for point in question["points"] if point["status"] == "absent" and not point["marks"]]
    if missing:
        rules = list(dict.fromkeys(point["rule"] for point in missing))
        names = [PLAIN.get(rule, PAGE["line"].format(rule)) for rule in rules]
        return _joined(well, several("write", names, _marks(sum(point["of"] for point in missing))))
    return _joined(well, PAGE["once-more"])


def _well(question: Entry, lines: tuple[LineFeedback, ...], first: str) -> str:
    """Return what is right before the first wrong bit, as the beginning of a sentence; "" where nothing is."""
    before = []
    for line in lines:
        if line.name == first:
            break
        before += [line.name] if line.is_well else []
    if before:
        return several("lines", before)
    parts = [
        point["part"]
        for point in question["points"]
        if point["rule"] == first and point.get("part") and point["marks"]
    ]
    return several("parts", parts) if parts else ""


def _joined(well: str, rule: str) -> str:
    return f"{well}; {_small(rule)}" if well else rule


def _small(sentence: str) -> str:
    """Return a sentence to follow another's beginning."""
    first, _, rest = sentence.partition(" ")
    keeps = any(sign.isdigit() for sign in first) or (len(first) > 1 and first.isupper())
    return sentence if keeps else f"{first.lower()} {rest}"


def _among(question: Entry, line: str) -> tuple[str, ...]:
    return next(
        (
            tuple(point["among"])
            for point in question["points"]
            if point["rule"] == line and point.get("among")
        ),
        (),
    )


def _rule(asked: Asked, line: str, among: Iterable[str]) -> str:
    """Return the right rule for a line: what answers the belief that most likely gives it, or the working's own."""
    known = sorted((BELIEFS[name] for name in among), key=lambda belief: -belief.weight)
    if known:
        return known[0].rule
    steps = work_question(asked.question).steps
    step = next((step for step in steps if step.rule == line), steps[-1])
    if not step.written.sentences:
        return PAGE["step"].format(step.title.lower())
    said = step.written.sentences[0]
    return said.text if said.sum else said.rule or said.text


def _marks(number: int) -> str:
    return plural(number, "mark")


def several(key: str, names: list[str], *more: str) -> str:
    """Return the sentence *key* of a pupil's page about one or several *names*.

    >>> several("look", ["2"]), several("look", ["2", "5"])
    ('Look at question 2.', 'Look at questions 2 and 5.')
    """
    return PAGE[key if len(names) == 1 else f"{key}-several"].format(listed(names), *more)


# === What was good ===


def _good(told: list[tuple[Asked, Entry]]) -> Iterator[str]:
    """Yield sentences on what was good, the most telling first; at least one is always true."""
    full = [str(asked.number) for asked, question in told if question["marks"] == question["of"]]
    if full and len(full) == len(told):
        yield PAGE["all-several" if len(full) > 1 else "all"].format(len(full))
    elif full:
        yield several("full", full)
    worked = [one for one in told if one[1].get("lines") and one[1]["operation"] not in IN_PARTS]
    earned = [(asked, _earned_by_lines(asked, question)) for asked, question in worked]
    by_lines = [(str(asked.number), more) for asked, more in earned if more > 0]
    if by_lines:
        where = listed([number for number, _ in by_lines])
        more = sum(more for _, more in by_lines)
        yield PAGE["by-lines"].format(where, _marks(more))
    yield from _skills(told)
    if not full and not by_lines:
        best = max((question for _, question in told), key=lambda question: question["marks"], default=None)
        if best is not None and best["marks"]:
            yield PAGE["best"].format(best["question"], best["marks"], _marks(best["of"]))
        else:
            yield PAGE["handed-in"]


def _earned_by_lines(asked: Asked, question: Entry) -> int:
    answers = [point["status"] for point in question["points"] if point["rule"] == "answer"]
    if answers and set(answers) == {"right"} and asked.alone >= asked.marks:
        return 0  # the answer earns every mark by itself
    alone = mark_question(asked, {"answer": question["answer"]} if question["answer"] else {})
    return int(question["marks"]) - alone.marks


def _skills(told: list[tuple[Asked, Entry]]) -> Iterator[str]:
    shown: Counter[str] = Counter()
    lost: Counter[str] = Counter()
    for _, question in told:
        for point in question["points"]:
            if shows_skill(point):
                shown[point["skill"]] += point["of"]
                lost[point["skill"]] += point["of"] - point["marks"]
    whole = [
        skill
        for skill, of in shown.items()
        if of >= LEAST_OF_SKILL and not lost[skill] and skill in SKILL_WORDS
    ]
    whole.sort(key=lambda skill: -shown[skill])
    if whole and sum(lost.values()):
        yield PAGE["skills"].format(listed([SKILL_WORDS[skill] for skill in whole[:2]]))


# === One thing to try ===


def _to_try(entry: Entry, told: list[tuple[Asked, Entry]]) -> tuple[str, str, tuple[int, ...]]:
    """Return the one thing to try, a test of it, and where it shows: what was named first, else what cost most."""
    for belief in entry["beliefs"]:
        if belief["named"]:
            known = BELIEFS[belief["misconception"]]
            return known.rule, known.nudge, tuple(belief["shown_on"])
    wrong = [
        (question["of"] - question["marks"], asked, question)
        for asked, question in told
        if question["marks"] < question["of"]
        and not any(point["for_teacher"] for point in question["points"])
    ]
    if not wrong:
        if all(question["marks"] == question["of"] for _, question in told):
            return PAGE["more"], "", ()
        return PAGE["more-waits"], "", ()
    _, asked, question = max(wrong, key=lambda one: one[0])
    lines = tuple(_lines(asked, question))
    first = next((line.name for line in lines if line.is_wrong), "")
    if not lines or not first:
        return _sentence(asked, question, lines, first, waits=False), "", (asked.number,)
    among = _among(question, first)
    return _rule(asked, first, among), first_hint(first, among), (asked.number,)


def _fresh(entry: Entry, papers: Papers, told: list[tuple[Asked, Entry]]) -> Question | None:
    """Return a question not asked yet: one that would decide, else one of the kind that cost most marks."""
    given = {tuple(asked.question.operands) for asked, _ in told}
    if entry["next_questions"]:
        one = entry["next_questions"][0]
        courses = [asked.question.course for asked, _ in told]
        course = next(
            (own for own in courses if own.format == one.get("format")), [*courses, papers.course][0]
        )
        course = course.with_(format=one.get("format"))
        return ask(one["operation"], *one["operands"], course=course)
    by_loss = sorted(told, key=lambda one: one[1]["marks"] - one[1]["of"])
    full = all(question["marks"] == question["of"] for _, question in told)
    for asked, question in sorted(by_loss, key=lambda one: -one[1]["of"]) if full else by_loss:
        for seed in range(entry["variant"], entry["variant"] + 5):
            found = fresh_question(asked.question.course, question["operation"], seed, hard=full)
            if found is not None and tuple(found.operands) not in given:
                return found
    return None
