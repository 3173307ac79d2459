"""What a blueprint's question may be: each check raises `RefusedError`, which names the key at fault."""

from __future__ import annotations

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.named import AnyPattern, is_school, value_or_none, written_example
from chalkpoint.setting.asking import MOST_TERMS, BlueprintQuestion
from chalkpoint.setting.contexts import contexts_for
from chalkpoint.setting.drawing import parse_traits, shown_in
from chalkpoint.setting.drawn import is_plain
from chalkpoint.setting.families import COMPOSITE, keeps_places, least_marks, most_marks
from chalkpoint.setting.ownstory import why_it_does_not_fit
from chalkpoint.setting.schemes import points_of
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.chained import MADE_OF_PARTS
from chalkpoint.working.course import Course
from chalkpoint.working.question import OPERATIONS, Question, ask
from chalkpoint.working.work import work_question

__all__ = [
    "EXPLAINED",
    "RefusedError",
    "check_extras",
    "check_format",
    "check_kind",
    "check_marks",
    "check_operands",
    "check_where",
    "is_diagnosed",
]

WIDEST_FIELD = 32  # bits: more boxes do not fit a line
EXPLAINED = ("add", "subtract", "multiply", "divide", "encode")
LEAST_TERMS = 2
OF_ONE = {"to": "convert", "about": "explain", "terms": "sum"}  # keys, and the operation that has each

Entry = JsonObject


class RefusedError(EntryError):
    """A question that cannot be set; *key* is the blueprint's key at fault."""

    def __init__(self, key: str, what: str) -> None:
        super().__init__(what)
        self.key = key


def is_diagnosed(asked: BlueprintQuestion) -> bool:
    """Tell whether a diagnosing paper may ask *asked*."""
    family = family_of(asked.course.number_format)
    if asked.operation == "explain":
        return False
    parts = MADE_OF_PARTS.get(asked.operation, (asked.operation,))
    return any(beliefs_for(name, family) for name in parts)


def check_extras(asked: BlueprintQuestion, entry: Entry) -> None:
    """Check the keys that one operation only has: to, about, terms."""
    for key, operation in OF_ONE.items():
        if key in entry and asked.operation != operation:
            raise RefusedError(key, f"{key} is a key of {operation}; leave it out of {asked.operation}")
        if key in entry and asked.operands:
            raise RefusedError(
                key, f"{key} is not needed beside operands, which say it; leave one of them out"
            )
    if asked.operation == "convert" and not asked.operands:
        if not asked.to:
            raise RefusedError("operation", 'convert needs the format to convert into; write to = "binary16"')
        try:
            asked.course.with_(format=asked.to)
        except EntryError as reason:
            raise RefusedError("to", str(reason)) from reason
    if asked.operation == "explain" and not asked.operands and asked.about not in EXPLAINED:
        said = (
            "explain needs what is explained" if not asked.about else f'about = "{asked.about}" is not taken'
        )
        raise RefusedError(
            "about" if asked.about else "operation", f"{said}; {near_misses(asked.about, EXPLAINED)}"
        )
    if asked.terms < LEAST_TERMS:
        raise RefusedError(
            "terms", f"terms = {asked.terms} is no sum; write terms = {LEAST_TERMS} to {MOST_TERMS}"
        )


def check_format(asked: BlueprintQuestion, entry: Entry) -> None:
    """Check that the format has boxes on paper, and that the operation is worked in it."""
    for key, course in (("format", asked.course), ("to", asked.course.with_(format=asked.to or None))):
        fmt = course.number_format
        if not is_school(fmt) and max(written_example(fmt).split(" "), key=len)[WIDEST_FIELD:]:
            raise RefusedError(
                key,
                f"{course.format} has a field of more than {WIDEST_FIELD} bits, too wide for paper; take a smaller one",
            )
    if is_plain(shown_in(asked)) and not asked.operands:
        try:
            work_question(_example(shown_in(asked)))
        except EntryError as reason:
            raise RefusedError("operation", str(reason)) from reason
        if asked.operation == "normalise" and getattr(asked.course.number_format, "implied", False):
            raise RefusedError(
                "operation",
                f"there is nothing to normalise in {asked.course.format}: its second bit is not written, and is always "
                "the opposite of the first; ask for decode",
            )


def _example(asked: BlueprintQuestion) -> Question:
    """Return some question of the kind asked for."""
    fmt, kind = asked.course.number_format, OPERATIONS[asked.operation]
    some: AnyPattern = fmt.example
    if asked.operation == "choose-format":
        return ask(asked.operation, "0", "40", "0.5", course=asked.course)
    if kind.takes == "values":
        return ask(asked.operation, fmt.value(some), course=asked.course)
    operands = [written_example(fmt)] * (1 if asked.to else kind.operands)
    return ask(asked.operation, *operands, *([asked.to] if asked.to else []), course=asked.course)


def check_kind(asked: BlueprintQuestion, entry: Entry) -> None:
    """Check that lines can be filled in or values asked for, and that a story can be told."""
    told = asked.operation in COMPOSITE or is_plain(asked)
    if asked.kind == "values" and (asked.operation != "range" or asked.context):
        raise RefusedError(
            "kind",
            'kind = "values" asks for the values of a range, without a story; write operation = "range"',
        )
    if told and asked.kind not in {"work", "values"}:
        raise RefusedError(
            "kind",
            f'kind = "{asked.kind}" is set in mantissa + exponent, of one operation; write kind = "work"',
        )
    if asked.kind in {"faded", "mistake"} and keeps_places(asked.operation, asked.course):
        raise RefusedError(
            "kind",
            f'kind = "{asked.kind}" shows lines in boxes, and {asked.course.method} writes more digits; '
            'write kind = "work"',
        )
    if asked.context and (told or (asked.told is None and not contexts_for(asked.operation))):
        raise RefusedError(
            "context",
            f"{asked.operation} in {asked.course.format} is not told as a word problem; leave it out",
        )


def check_where(asked: BlueprintQuestion, entry: Entry) -> None:
    """Check the traits asked for."""
    try:
        parse_traits(asked)
    except EntryError as reason:
        raise RefusedError("where", f"where: {reason}") from reason


def check_operands(asked: BlueprintQuestion, entry: Entry) -> None:
    """Check that a question of one's own can be worked."""
    if not asked.operands:
        return
    try:
        question = ask(asked.operation, *asked.operands, course=asked.course)
        work_question(question)
    except EntryError as reason:
        raise RefusedError("operands", f"operands: {reason}") from reason
    if asked.told is not None and (why := why_it_does_not_fit(question, asked.told)):
        raise RefusedError("operands", f"operands: {why}")
    about = question.about or question
    if question.about is not None and about.operation.name not in {*EXPLAINED, "sum"}:
        raise RefusedError(
            "operands",
            f"operands: {about.operation.name} is not explained; {near_misses('', (*EXPLAINED, 'sum'))}",
        )
    if about.operation.name == "divide" and value_or_none(about.format, about.patterns[1]) == 0:
        raise RefusedError(
            "operands", "operands: a division by zero is not set; divide by a number other than 0"
        )
    if asked.operation == "sum" and len(question.patterns) > MOST_TERMS:
        raise RefusedError(
            "operands", f"operands: a sum on paper has up to {MOST_TERMS} numbers; leave some out"
        )
    if question.target is not None:
        check_format(_converted(asked, question.target), entry)


def _converted(asked: BlueprintQuestion, target: Course) -> BlueprintQuestion:
    return BlueprintQuestion("convert", asked.course, operands=asked.operands, to=target.format)


def check_marks(asked: BlueprintQuestion, entry: Entry) -> None:
    """Check that there are as many marking points as marks."""
    if asked.marks is None:
        return
    fmt = asked.course.number_format
    least, most = least_marks(asked.operation, fmt), most_marks(asked.operation, fmt, asked.terms)
    if asked.is_fixed:
        working = work_question(ask(asked.operation, *asked.operands, course=asked.course))
        most = len(working.result.values if asked.kind == "values" else points_of(working))
        least = most if asked.operation == "range" else 1
    if not least <= asked.marks <= most:
        accepted = (
            f"write marks = {least} to {most}, or leave the key out for one mark for each marking point"
        )
        raise RefusedError(
            "marks",
            f"marks = {asked.marks} is not taken: {asked.operation} has {most} marking points; {accepted}",
        )
