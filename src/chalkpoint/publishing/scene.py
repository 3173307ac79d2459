"""The scene of a working: its rows, marks and words placed on a grid of columns, once for every medium."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from chalkpoint.numbers.exact import MINUS, write_value
from chalkpoint.numbers.families import FLOATING, WHOLE
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.publishing.labels import short_labels
from chalkpoint.publishing.parts import (
    Block,
    Carries,
    Cell,
    Check,
    Held,
    Item,
    Names,
    PlaceValues,
    Rail,
    Scene,
    Thread,
    Threads,
)
from chalkpoint.publishing.plan import (
    exponent_leads,
    exponent_weights,
    fields_of,
    format_of,
    headings_of,
    top_code,
)
from chalkpoint.publishing.rulers import ruler
from chalkpoint.publishing.trays import left_in_tray, with_walls
from chalkpoint.publishing.weights import place_values
from chalkpoint.working.steps import Step
from chalkpoint.working.working import Working
from chalkpoint.working.written import Row

__all__ = ["scene"]

UNCHECKED = Check(0, "", "", "", (), (), None, "", ())
STEEP = 3  # columns: threads that go further are thinned in proportion
MOST_THREADS = 9  # of copies, or of digits that fall: more cannot be told apart


def scene(working: Working, *, checked: bool = True) -> Scene:
    """Return the scene of *working*: a block a step, then the check.

    checked  whether the check is wanted: its words are most of the work where only rows are drawn

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.work import work
    >>> drawn = scene(work("subtract", "010111 0011", "010100 0001", format="6+4"))
    >>> [block.title for block in drawn.blocks]
    ['Read', 'Match the exponents', 'Negate the second', 'Add']
    >>> drawn.blocks[-1].items[-2].bits, drawn.first, drawn.last
    ('010010', -1, 7)
    """
    question = working.question
    course, number_format = question.course, question.format
    written = [_block(step, format_of(step, question), course.point) for step in working.steps]
    formats = [number_format, *([question.target.number_format] if question.target else [])]
    blocks = with_walls(_weighed_below(written, formats[-1]))
    fields = fields_of(blocks, formats)
    short = short_labels(working, checked=checked)
    blocks = tuple(_relabelled(block, short) for block in blocks)
    columns = [column for block in blocks for item in block.items for column in _columns(item)]
    return Scene(
        title=working.title,
        method=working.method_words,
        course=course.name,
        format=str(number_format),
        first=min(columns, default=0),
        last=max(columns, default=0),
        places=number_format.places,
        before=fields.before,
        after=fields.after,
        blocks=blocks,
        check=_check(working, blocks, short) if checked else UNCHECKED,
        sign=fields.sign,
        sign_inside=fields.sign_inside,
        headings=headings_of(number_format),
        notes=question.notes,
    )


def _block(step: Step, fmt: AnyFormat, point: str) -> Block:
    items = _named(list(_items(step.rows, fmt, point)), _names(step.rows, fmt))
    return Block(step.number, step.rule, step.title, step.detail, step.spoken, tuple(items))


def _relabelled(block: Block, short: Mapping[str, str]) -> Block:
    """Return *block* with the labels of its rows as they are drawn."""
    if not short:
        return block
    items = (
        replace(item, label=short.get(item.label, item.label)) if isinstance(item, Rail) else item
        for item in block.items
    )
    return replace(block, items=tuple(items))


def _weighed_below(blocks: list[Block], fmt: AnyFormat) -> list[Block]:
    """Return *blocks* with place values under the last row too, where that is a whole pattern."""
    if blocks and blocks[-1].items:
        last = blocks[-1].items[-1]
        whole = fmt.family == WHOLE and isinstance(last, Rail) and len(last.bits) == fmt.bits
        if isinstance(last, Rail) and (last.exponent or whole):
            blocks[-1] = replace(blocks[-1], items=(*blocks[-1].items, _weights(last, fmt)))
    return blocks


def _weights(rail: Rail, fmt: AnyFormat) -> PlaceValues:
    below = place_values(rail.cells, exponent_weights(fmt) if rail.exponent else (), top=top_code(fmt))
    return replace(below, exponent_first=rail.exponent_first)


def _names(rows: Iterable[Row], fmt: AnyFormat) -> Names | None:
    """Return the names of the columns of *rows* that have one."""
    word = "implied" if fmt.family == FLOATING else "hidden"
    found: dict[int, str] = {}
    for row in rows:
        first = row.first_column
        found |= {first + at: word for at in range(len(row.bits)) if _marked(row.unwritten, at)}
        past = first + len(row.bits) - len(row.beyond)
        found |= {past + at: letter for at, letter in enumerate(row.beyond)}
    return Names(names=tuple(sorted(found.items()))) if found else None


def _named(items: list[Item], names: Names | None) -> list[Item]:
    """Return *items* with *names* above the first rail that has a column so called."""
    if names is None:
        return items
    columns = {column for column, _ in names.names}
    at = next(
        at
        for at, item in enumerate(items)
        if isinstance(item, Rail)
        and not (item.exponent and item.sign)
        and columns & {cell.column for cell in item.cells if cell.kind == "kept"}
    )
    at -= at > 0 and isinstance(items[at - 1], Carries)
    return [*items[:at], names, *items[at:]]


def _items(rows: Sequence[Row], fmt: AnyFormat, point: str) -> Iterator[Item]:
    """Yield what is drawn for *rows*, top to bottom: threads before a row that moved, place values after it."""
    above: Rail | None = None
    for row in rows:
        if row.carries:
            yield _carries(row)
            continue
        rail = _true_copies(_rail(row, point, leads=exponent_leads(row, fmt)), above)
        if above and above.soft and above.exponent_text and rail.exponent_text:
            rail = replace(rail, exponent_moved=above.exponent_text != rail.exponent_text)
        threads = _threads(above, rail, row.moved) if above and row.moved else ()
        if threads:
            yield Threads(threads=threads)
        yield rail
        if row.place_values:
            yield _weights(rail, fmt)
        above = rail


def _carries(row: Row) -> Carries:
    first = 1 - (len(row.carries) - row.places)
    cells = (Cell(first + at, digit) for at, digit in enumerate(row.carries) if digit == "1")
    return Carries(label=row.label, cells=tuple(cells))


def _rail(row: Row, point: str, *, leads: bool) -> Rail:
    return Rail(
        label=row.label,
        cells=tuple(_cells(row)),
        point=0 if row.bits and row.places else None,
        sign=(Cell(0, row.sign),) if row.sign else (),
        exponent=tuple(
            Cell(column, digit, changed=_marked(row.exponent_changed, column))
            for column, digit in enumerate(row.exponent_bits)
        ),
        exponent_text=""
        if row.exponent is None or row.exponent_bits
        else str(row.exponent).replace("-", MINUS),
        exponent_first=leads,
        value=row.word or ("" if row.value is None else write_value(row.value, point=point)),
        note=_how_stored(row),
        worth=write_value(abs(row.lost_value), point=point) if row.lost and row.lost_value else "",
        rounded_up=row.lost_value < 0,
        soft=row.soft,
        operator="+" if row.plus else MINUS * row.minus,
        words=row.spoken,
    )


def _how_stored(row: Row) -> str:
    """Return how an exponent with an excess is stored; that of a special value counts as no exponent."""
    if row.stored is None:
        return ""
    stored = f"stored {row.stored}"
    return stored if row.value is None else f"exponent {row.exponent}, {stored}".replace("-", MINUS)


def _cells(row: Row) -> Iterator[Cell]:
    """Yield the cells of *row* in column order: extra sign place, mantissa, tray."""
    first = row.first_column
    for at, digit in enumerate(row.lead):
        yield Cell(first - len(row.lead) + at, digit, kind="dropped" if row.lead_is == "dropped" else "extra")
    for at, digit in enumerate(row.bits):
        yield Cell(
            first + at,
            digit,
            changed=_marked(row.changed, at),
            copied=at < row.filled and not row.sign,
            unwritten=_marked(row.unwritten, at),
        )
    for at, digit in enumerate(row.lost, start=first + len(row.bits)):
        yield Cell(at, digit, kind="lost")


def _marked(mask: str, at: int) -> bool:
    return mask[at : at + 1] == "1"


def _true_copies(rail: Rail, above: Rail | None) -> Rail:
    """Return *rail* without the marks of copies where they are no copies: a size cut to nothing loses its sign."""
    sign = above.cells[0].digit if above and above.cells else ""
    if all(cell.digit == sign for cell in rail.cells if cell.copied):
        return rail
    return replace(rail, cells=tuple(replace(cell, copied=False) for cell in rail.cells))


def _threads(above: Rail, below: Rail, moved: int) -> tuple[Thread, ...]:
    """Return the way of each digit of *above* that stands *moved* places further right in *below*.

    There are none where the row below is not simply the digits moved (the size of a negative number
    was cut), nor where a middle left out has no true columns.
    """
    if "\u2026" in above.bits + below.bits:
        return ()
    source = [cell for cell in above.cells if cell.kind in {"kept", "extra"}]
    landing = {cell.column: cell for cell in below.cells}
    moves = [(cell, landing[cell.column + moved]) for cell in source if cell.column + moved in landing]
    if any(cell.digit != to.digit for cell, to in moves):
        return ()
    copies = [Thread(source[0].column, cell.column, "copied") for cell in below.cells if cell.copied]
    kept = [Thread(cell.column, to.column, "kept") for cell, to in moves if to.kind != "lost"]
    fallen = [Thread(cell.column, to.column, "fallen") for cell, to in moves if to.kind == "lost"]
    return (*_thinned(copies), *_thinned(kept, abs(moved)), *_thinned(fallen, abs(moved)))


def _thinned(threads: list[Thread], moved: int = 0) -> list[Thread]:
    """Return *threads*, or some of them at equal distances, the first and the last too: more would run into a blot.

    moved  of threads side by side, over how many columns each goes: the longer, the nearer they run
    """
    most = max(2, len(threads) * STEEP // max(STEEP, moved)) if moved else MOST_THREADS
    if len(threads) <= most:
        return threads
    step = -(-(len(threads) - 1) // (most - 1))
    return [*threads[:-1:step], threads[-1]]


def _columns(item: Item) -> Iterator[int]:
    """Yield the outermost columns *item* uses; an operation sign takes the column before its row."""
    if isinstance(item, Rail | Carries | Held) and item.cells:
        yield item.cells[0].column - (isinstance(item, Rail) and bool(item.operator) and not item.sign)
        yield item.cells[-1].column


def _check(working: Working, blocks: tuple[Block, ...], short: Mapping[str, str]) -> Check:
    check, said, point = working.check, working.check_words, working.question.course.point
    drawn = None
    if check.value is not None and check.unit is not None:
        drawn = ruler(check.exact, check.value, check.unit, point=point)
    return Check(
        number=len(blocks) + 1,
        title=said.title,
        detail=said.detail,
        spoken=said.spoken,
        left=left_in_tray(blocks),
        lines=tuple((short.get(label, label), text) for label, text in said.lines),
        ruler=drawn,
        verdict=said.verdict,
        reasons=said.reasons,
    )
