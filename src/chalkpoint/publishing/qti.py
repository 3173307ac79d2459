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
from chalkpoint.marking.papers import Asked, Paper, Papers
from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.question import Question
from chalkpoint.working.wording.heading import heading

__all__ = ["has_items", "item", "package", "spellings"]

ITEM = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
PACKAGE = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
ITEM_TYPE, TEST_TYPE = "imsqti_item_xmlv3p0", "imsqti_test_xmlv3p0"
RESPONSE, SCORE, MOST = "RESPONSE", "SCORE", "MAXSCORE"
FIRST_DAY = (1980, 1, 1, 0, 0, 0)  # of every file in the package, so that the same papers give the same bytes
MINUS = "\u2212"


def spellings(question: Question, answer: str) -> tuple[str, ...]:
    """Return how *answer* may be typed, the usual one first: with its blank and point or without, either minus sign.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> spellings(ask("add", "1.5", "2.5", course=Course()), "01000000 0011")
    ('01000000 0011', '010000000011', '0.1000000 0011', '0.10000000011')
    """
    if set(answer) <= set("01 ") and question.operation.name != "decode":
        pointed = question.format.write(question.format.read(answer), point=True)
        return tuple(dict.fromkeys((answer, answer.replace(" ", ""), pointed, pointed.replace(" ", ""))))
    plain = answer.replace(MINUS, "-")
    return tuple(dict.fromkeys((plain, plain.replace("-", MINUS))))


def item(asked: Asked, name: str) -> bytes:
    """Return one question as an assessment item called *name*; the right answer earns all its marks."""
    question, answer = asked.question, expected_answer(asked)
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
    _declare_response(root, spellings(question, answer), asked.marks)
    _declare_outcome(root, SCORE, 0)
    _declare_outcome(root, MOST, asked.marks)
    body = SubElement(root, "qti-item-body")
    SubElement(body, "p").text = heading(question)
    for pattern in question.patterns:
        SubElement(body, "p").text = question.format.write(pattern, point=True)
    entry = SubElement(body, "p")
    attributes = {"response-identifier": RESPONSE, "expected-length": str(len(answer) + 4)}
    SubElement(entry, "qti-text-entry-interaction", attributes)
    processing = SubElement(root, "qti-response-processing")
    score = SubElement(processing, "qti-set-outcome-value", {"identifier": SCORE})
    SubElement(score, "qti-map-response", {"identifier": RESPONSE})
    return _written(root)


def _declare_response(root: Element, accepted: tuple[str, ...], marks: int) -> None:
    declared = SubElement(
        root,
        "qti-response-declaration",
        {"identifier": RESPONSE, "cardinality": "single", "base-type": "string"},
    )
    SubElement(SubElement(declared, "qti-correct-response"), "qti-value").text = accepted[0]
    mapping = SubElement(declared, "qti-mapping", {"default-value": "0"})
    for spelling in accepted:
        worth = {"map-key": spelling, "mapped-value": str(marks), "case-sensitive": "false"}
        SubElement(mapping, "qti-map-entry", worth)


def _declare_outcome(root: Element, name: str, value: int) -> None:
    declared = SubElement(
        root, "qti-outcome-declaration", {"identifier": name, "cardinality": "single", "base-type": "float"}
    )
    SubElement(SubElement(declared, "qti-default-value"), "qti-value").text = str(value)


def has_items(papers: Papers) -> bool:
    """Tell whether every variant has a question with one final answer."""
    return all(any(True for _ in _taken(paper)) for paper in papers.variants.values())


def package(papers: Papers) -> bytes:
    """Return every variant as a test with its items, and the manifest, in one zip file.

    Raises EntryError where no question of the papers has one final answer.
    """
    files: dict[str, bytes] = {}
    manifest = Element("manifest", {"xmlns": PACKAGE, "identifier": "papers"})
    metadata = SubElement(manifest, "metadata")
    SubElement(metadata, "schema").text = "QTI Package"
    SubElement(metadata, "schemaversion").text = "3.0.0"
    SubElement(manifest, "organizations")
    resources = SubElement(manifest, "resources")
    for paper in papers.variants.values():
        items = {
            f"v{paper.variant}-q{asked.number}": item(asked, f"v{paper.variant}-q{asked.number}")
            for asked in _taken(paper)
        }
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


def _taken(paper: Paper) -> Iterator[Asked]:
    """Yield the questions whose final answer says all: not those that ask which line is wrong."""
    for asked in paper.questions:
        if asked.kind != "mistake" and asked.question.operation.name not in {"range", "explain"}:
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
