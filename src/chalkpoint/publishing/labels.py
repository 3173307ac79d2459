"""Labels beside rows: what operands are called, shortened where a name would not fit beside its row.

Sentences and the words for the ear keep every name whole.
"""

from __future__ import annotations

from chalkpoint.working.working import Working

__all__ = ["LONGEST_LABEL", "short_labels"]

LONGEST_LABEL = 20  # characters
HEAD, TAIL = 10, 9


def short_labels(working: Working, *, checked: bool = True) -> dict[str, str]:
    """Return the drawn label for each label of *working* that is too long; no two of them are alike.

    checked  whether its check is drawn

    >>> from chalkpoint.working.work import work
    >>> named = work("add", "1.5", "2", names=("upstream gauge house", "the datum at Brackwater"))
    >>> short_labels(named)["the datum at Brackwater"]
    'the datum \u2026rackwater'
    """
    labels = [row.label for step in working.steps for row in step.rows]
    labels += [label for label, _ in working.check_words.lines] if checked else []
    short: dict[str, str] = {}
    for label in dict.fromkeys(labels):
        if len(label) > LONGEST_LABEL:
            cut = f"{label[:HEAD]}\u2026{label[-TAIL:]}"
            number = len(short) + 1
            short[label] = (
                f"{label[: HEAD - 2]}\u2026{number} {label[-TAIL:]}" if cut in short.values() else cut
            )
    return short
