"""Items for other systems, in the open standard of 1EdTech: QTI 3.0, text entry with the exact answer, in one package.

Only final answers go out: working of several lines cannot be marked there. What is emitted is the small part of the
standard that `tests/publishing/qti.rng` spells out, and no more is claimed.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator
from xml.etree.ElementTree import Element, SubElement, indent, tostring
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from chalkpoint.marking.entering import expected_answer
from chalkpoint.marking.marks import mark_question
from chalkpoint.numbers.datafiles import JsonMapping
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import parse_value, write_exact
from chalkpoint.numbers.named import AnyPattern, is_school
from chalkpoint.setting.answering import answer_format
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.papers import Asked, Paper
from chalkpoint.working.procedures import answer_by, right_method
from chalkpoint.working.question import Question
from chalkpoint.working.wording.heading import heading

__all__ = ["answers", "has_items", "item", "package", "spellings"]

ITEM = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
PACKAGE = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
ITEM_TYPE, TEST_TYPE = "imsqti_item_xmlv3p0", "imsqti_test_xmlv3p0"
RESPONSE, SCORE, MOST = "RESPONSE", "SCORE", "MAXSCORE"
FIRST_DAY = (1980, 1, 1, 0, 0, 0)  # of every file in the package, so that the same papers give the same bytes
MINUS = "\u2212"
LEFT_OUT = frozenset({"range", "error", "explain"})  # several answers, or words


def spellings(question: Question, answer: str) -> tuple[str, ...]:
    """Return how *answer* may be typed, the usual one first.

    A pattern with its blank and point or without; a value as a decimal or a fraction, with either minus sign.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> spellings(ask("add", "1.5", "2.5", course=Course()), "01000000 0011")
    ('01000000 0011', '010000000011', '0.1000000 0011', '0.10000000011')
    """
    fmt = answer_format(question)
    if question.operation.name == "decode":
        if any(character.isalpha() for character in answer):
            return (answer,)
        exact = write_exact(parse_value(answer.replace(MINUS, "-"), point=question.course.point))
        plain = (answer.replace(MINUS, "-"), exact)
        return tuple(dict.fromkeys((*plain, *(text.replace("-", MINUS) for text in plain))))
    if set(answer) <= set("01 "):
        pattern: AnyPattern = fmt.read(answer)
        pointed = fmt.write(pattern, point=True)
        return tuple(dict.fromkeys((answer, answer.replace(" ", ""), pointed, pointed.replace(" ", ""))))
    return (answer,)


def answers(asked: Asked) -> dict[str, int]:
    """Return the answers that earn marks alone, the course's own first, and what each earns.

    They are those of the methods that the course accepts, and the marks are those that marking gives for the
    answer without any working: no more than the scheme allows.
    """
    question = asked.question
    name, course = question.operation.name, question.course
    found = [expected_answer(asked)]
    if name in {"add", "subtract"} and is_school(question.format):
        found += [answer_by(right_method(name, course, method), question) for method in course.accepts]
    earned = {answer: mark_question(asked, {"answer": answer}).marks for answer in dict.fromkeys(found)}
    return {answer: marks for answer, marks in earned.items() if marks}


def item(asked: Asked, name: str, words: str) -> bytes:
    """Return one question as an assessment item called *name*, which asks in *words*."""
    question, earned = asked.question, answers(asked)
    root = Element(
        "qti-assessment-item",
        {
            "xmlns": ITEM,
            "identifier": name,
            "title": heading(question),
            "adaptive": "false",
            "time-dependent": "false",
            "xml:lang": "en",
        },
    )
    _declare_response(root, question, earned)
    _declare_outcome(root, SCORE, 0)
    _declare_outcome(root, MOST, max(earned.values()))
    body = SubElement(root, "qti-item-body")
    SubElement(body, "p").text = words or heading(question)
    for pattern in question.patterns:
        SubElement(body, "p").text = question.format.write(pattern, point=True)
    entry = SubElement(body, "p")
    longest = max(len(answer) for answer in earned)
    attributes = {"response-identifier": RESPONSE, "expected-length": str(longest + 4)}
    SubElement(entry, "qti-text-entry-interaction", attributes)
    processing = SubElement(root, "qti-response-processing")
    score = SubElement(processing, "qti-set-outcome-value", {"identifier": SCORE})
    SubElement(score, "qti-map-response", {"identifier": RESPONSE})
    return _written(root)


def _declare_response(root: Element, question: Question, earned: dict[str, int]) -> None:
    declared = SubElement(
        root,
        "qti-response-declaration",
        {"identifier": RESPONSE, "cardinality": "single", "base-type": "string"},
    )
    SubElement(SubElement(declared, "qti-correct-response"), "qti-value").text = next(iter(earned))
    mapping = SubElement(declared, "qti-mapping", {"default-value": "0"})
    for answer, marks in earned.items():
        for spelling in spellings(question, answer):
            worth = {"map-key": spelling, "mapped-value": str(marks), "case-sensitive": "false"}
            SubElement(mapping, "qti-map-entry", worth)


def _declare_outcome(root: Element, name: str, value: int) -> None:
    declared = SubElement(
        root, "qti-outcome-declaration", {"identifier": name, "cardinality": "single", "base-type": "float"}
    )
    SubElement(SubElement(declared, "qti-default-value"), "qti-value").text = str(value)


def has_items(table: JsonMapping) -> bool:
    """Tell whether every variant of *table*, chalkpoint.papers/1, has a question whose final answer earns marks."""
    return all(any(True for _ in _taken(paper)) for paper in papers_from(table).variants.values())


def package(table: JsonMapping) -> bytes:
    """Return every variant of *table*, chalkpoint.papers/1, as a test with its items and manifest, in one zip file.

    Raises EntryError where no question of the papers has one final answer.
    """
    papers, words = papers_from(table), _words(table)
    files: dict[str, bytes] = {}
    manifest = Element("manifest", {"xmlns": PACKAGE, "identifier": "papers"})
    metadata = SubElement(manifest, "metadata")
    SubElement(metadata, "schema").text = "QTI Package"
    SubElement(metadata, "schemaversion").text = "3.0.0"
    SubElement(manifest, "organizations")
    resources = SubElement(manifest, "resources")
    for paper in papers.variants.values():
        items = {}
        for asked in _taken(paper):
            name = f"v{paper.variant}-q{asked.number}"
            items[name] = item(asked, name, words.get((paper.variant, asked.number), ""))
        if not items:
            raise EntryError(
                "these papers have no question with one final answer, so there are no items to write"
            )
        test = f"v{paper.variant}"
        _resource(resources, test, TEST_TYPE, f"{test}.xml", items)
        files[f"{test}.xml"] = _test(test, papers.title or "Paper", items)
        for name, content in items.items():
            _resource(resources, name, ITEM_TYPE, f"items/{name}.xml", ())
            files[f"items/{name}.xml"] = content
    return _zipped({"imsmanifest.xml": _written(manifest), **files})


def _words(table: JsonMapping) -> dict[tuple[int, int], str]:
    """Return what each question asks in words, by variant and number."""
    return {
        (int(paper.get("variant", 1)), int(entry.get("question", number))): str(entry.get("words", ""))
        for paper in table["papers"]
        for number, entry in enumerate(paper["questions"], start=1)
    }


def _taken(paper: Paper) -> Iterator[Asked]:
    """Yield the questions whose final answer earns marks: not those with several answers, or that ask for a line."""
    for asked in paper.questions:
        if asked.kind != "mistake" and asked.question.operation.name not in LEFT_OUT and answers(asked):
            yield asked


def _resource(resources: Element, name: str, kind: str, href: str, items: Iterable[str]) -> None:
    resource = SubElement(resources, "resource", {"identifier": name, "type": kind, "href": href})
    SubElement(resource, "file", {"href": href})
    for depends in items:
        SubElement(resource, "dependency", {"identifierref": depends})


def _test(name: str, title: str, items: Iterable[str]) -> bytes:
    root = Element("qti-assessment-test", {"xmlns": ITEM, "identifier": name, "title": f"{title}, {name}"})
    part = SubElement(
        root,
        "qti-test-part",
        {"identifier": "part", "navigation-mode": "nonlinear", "submission-mode": "individual"},
    )
    section = SubElement(
        part, "qti-assessment-section", {"identifier": "section", "title": title, "visible": "true"}
    )
    for each in items:
        SubElement(section, "qti-assessment-item-ref", {"identifier": each, "href": f"items/{each}.xml"})
    return _written(root)


def _written(root: Element) -> bytes:
    indent(root)
    written: bytes = tostring(root, encoding="utf-8", xml_declaration=True)
    return written + b"\n"


def _zipped(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with ZipFile(out, "w") as packed:
        for name, content in files.items():
            info = ZipInfo(name, FIRST_DAY)
            info.compress_type = ZIP_DEFLATED
            packed.writestr(info, content)
    return out.getvalue()
