"""The facts of adding and subtracting, found a second time: on strings of bits, digit by digit, as a pupil would.

Nothing of the package is used here. A row is a string; it is a digit longer than its width where it needs an extra
sign place. Each step is (rule, keys of its sentences, facts that its record must state).
"""

from __future__ import annotations

from fractions import Fraction

Step = tuple[str, list[str], dict[str, object]]


def value_of(row: str, places: int) -> Fraction:
    """Return the value of a row in two's complement with *places* digits after the point."""
    plain = int(row, 2) - (1 << len(row) if row[0] == "1" else 0)
    return Fraction(plain, 2**places)


def pattern(number: int, width: int) -> str:
    """Return *number* in two's complement."""
    return format(number % (1 << width), f"0{width}b")


def trimmed(row: str, width: int) -> str:
    """Return *row* without the sign places it does not need."""
    while len(row) > width and row[0] == row[1]:
        row = row[1:]
    return row


def invert(row: str) -> str:
    """Return *row* with every digit turned."""
    return "".join("1" if digit == "0" else "0" for digit in row)


def opposite(row: str, width: int) -> str:
    """Return the opposite: invert, add one from the right; a digit longer where it has none in *width*."""
    wide = row[0] + row
    digits, carry = list(invert(wide)), True
    for at in range(len(digits) - 1, -1, -1):
        if not carry:
            break
        carry = digits[at] == "1"
        digits[at] = "0" if carry else "1"
    return trimmed("".join(digits), width)


def move_right(row: str, places: int, width: int) -> tuple[str, str]:
    """Return *row* moved right behind copies of its sign, and the digits that pass its end."""
    moved = row[0] * places + row
    return trimmed(moved[: len(moved) - places], width), moved[len(moved) - places :]


def columns(first: str, second: str) -> tuple[str, str, bool]:
    """Add two rows of one length: the sum's digits, "1" over each column carried into, whether a carry leaves."""
    carry, total, carried = 0, "", ""
    for a, b in zip(reversed(first), reversed(second), strict=True):
        carried = str(carry) + carried
        ones = (a == "1") + (b == "1") + carry
        total, carry = str(ones % 2) + total, ones // 2
    return total, carried, bool(carry)


class Road:
    """One question worked on strings: mantissas of *width* bits, exponents as numbers."""

    def __init__(self, operation: str, method: str, width: int, lowest: int, highest: int) -> None:
        self.operation, self.method, self.width = operation, method, width
        self.lowest, self.highest = lowest, highest
        self.extra = 0
        self.steps: list[Step] = []

    def write(self, rule: str, keys: list[str], **facts: object) -> None:
        """Write down a step."""
        self.steps.append((rule, keys, facts))

    def worked(self, first: str, first_exponent: int, second: str, second_exponent: int) -> list[Step]:
        """Return the steps of the question about these two patterns, neither of them zero."""
        self.first, self.second = first, second
        self.first_exponent, self.second_exponent = first_exponent, second_exponent
        self.write(
            "read",
            ["read.both", "read.exponents"],
            first_exponent=first_exponent,
            second_exponent=second_exponent,
            zeros=(),
            loose=(),
        )
        if self.operation == "subtract" and self.method == "negate-then-align":
            self.negate()
            self.align()
        else:
            self.align()
            if self.method == "spare-place-first":
                self.spare()
            if self.operation == "subtract":
                self.negate()
        self.add()
        return self.steps

    # === Before adding ===

    @property
    def room(self) -> int:
        """How many digits a row has."""
        return self.width + self.extra

    def align(self) -> None:
        """Move the operand with the smaller exponent right."""
        apart = abs(self.first_exponent - self.second_exponent)
        if self.method == "one-guard-bit":
            self.extra = 1
        if self.method.startswith("exact"):
            self.extra = apart + 1
        low, high = sorted((self.first_exponent, self.second_exponent))
        rows = {"first": self.first + "0" * self.extra, "second": self.second + "0" * self.extra}
        moved = "first" if self.first_exponent == low else "second"
        self.first_exponent = self.second_exponent = high
        if not apart:
            self.first, self.second = rows.values()
            self.write(
                "align", ["align.equal"], moved="", apart=0, low=low, high=high, lost="", worth=0, zero=""
            )
            return
        row = rows[moved]
        beyond = len(row) > self.room
        unit = Fraction(2) ** (low - (self.width - 1) - self.extra)
        if self.method == "size-and-sign" and row[0] == "1":
            kept, lost = move_right(opposite(row, self.room), apart, self.room)
            kept = opposite(kept, self.room)
            worth = -int(lost, 2) * unit
        else:
            kept, lost = move_right(row, apart, self.room)
            worth = int(lost, 2) * unit
        lost = lost[: max(apart - self.extra, 0)]  # the places kept past the last had no digits yet
        rows[moved] = kept
        nothing = self.method == "size-and-sign" and "1" not in kept
        keys = ["align.move"]
        if not nothing:
            many = min(apart, self.room) - beyond != 1
            keys.append("align.copy-extra" if beyond else ("align.copys" if many else "align.copy"))
        keys += self.tail_keys(lost, kept, nothing=nothing, negative=row[0] == "1", apart=apart)
        self.first, self.second = rows.values()
        self.write(
            "align",
            keys,
            zero="",
            low=low,
            high=high,
            apart=apart,
            moved=moved,
            sign=int(row[0]),
            copies=min(apart, self.room) - beyond,
            beyond=beyond,
            guard=self.extra,
            lost=lost,
            worth=worth,
            left=int(value_of(kept, 0)),
        )

    def tail_keys(self, lost: str, kept: str, *, nothing: bool, negative: bool, apart: int) -> list[str]:
        """Return what is said of the digits that passed the last place."""
        if self.method.startswith("exact"):
            return ["align.every-rounded" if self.method.endswith("nearest") else "align.every-cut"]
        keys = ["align.guard"] if self.extra else []
        if "1" in lost:
            keys.append("align.lost-size" if self.method == "size-and-sign" and negative else "align.lost")
        elif lost:
            keys.append("align.lost-0s")
        if nothing:
            return [*keys, "align.nothing-left"]
        if not self.extra and apart >= self.width - 1:
            keys.append("align.only-signs-minus" if kept[0] == "1" else "align.only-signs")
        return keys

    def spare(self) -> None:
        """Move both right one place more."""
        unit = Fraction(2) ** (self.first_exponent - (self.width - 1))
        self.first, first = move_right(self.first, 1, self.width)
        self.second, second = move_right(self.second, 1, self.width)
        self.first_exponent = self.second_exponent = self.first_exponent + 1
        lost = "1" in first + second
        self.write(
            "spare",
            ["spare", "spare.lost" if lost else "align.lost-0s"],
            first_worth=int(first, 2) * unit,
            second_worth=int(second, 2) * unit,
        )

    def negate(self) -> None:
        """Turn the second into its opposite."""
        row = self.second
        self.second = opposite(row, self.room)
        keys = ["negate.taken", "negate.exponent"]
        if "1" not in row:
            keys.append("negate.zero")
        elif len(self.second) > self.room:
            keys.append("negate.extra")
        self.write(
            "negate",
            keys,
            inverted=invert(row),
            fits=len(self.second) <= self.room,
            mantissa=value_of(row, self.width - 1 + self.extra),
            width=self.room,
        )

    # === The sum ===

    def add(self) -> None:
        """Add column by column, then go on below the line."""
        spare = self.method.startswith("exact")
        first, second = (row[:-1] if spare else row for row in (self.first, self.second))
        room = self.room - spare
        extra_place = len(second) > room or len(first) > room
        wide = room + extra_place
        _, carried, carry_out = columns(
            first[0] * (wide - len(first)) + first, second[0] * (wide - len(second)) + second
        )
        true, _, _ = columns(
            first[0] * (wide + 1 - len(first)) + first, second[0] * (wide + 1 - len(second)) + second
        )
        overflowed = len(trimmed(true, room)) > room
        keys = ["add.carries" if "1" in carried else ("add.sign-only" if carry_out else "add.none")]
        if extra_place:
            keys.append("add.extra")
            keys += (
                ["add.overflow"]
                if overflowed
                else ["add.agrees", *(["add.extra-dropped"] if carry_out else [])]
            )
        elif overflowed:
            keys.append("add.overflow")
        elif carry_out:
            keys += ["add.dropped", "add.opposite" if first[0] != second[0] else "add.negatives"]
        self.write(
            "add",
            keys,
            columns=wide,
            carried=carried,
            carry_out=carry_out,
            extra_place=extra_place,
            overflowed=overflowed,
            signs=first[0] + second[0] + true[-room],
            zeros=("1" not in first) + ("1" not in second),
        )
        self.below(trimmed(true, room) + "0" * spare, overflowed=overflowed)

    def below(self, total: str, *, overflowed: bool) -> None:
        """Repair, normalise, cut and judge the sum."""
        exponent = self.first_exponent
        if overflowed:
            unit = Fraction(2) ** (exponent - (self.width - 1) - self.extra)
            sign = int(total[0])
            if self.method == "size-and-sign" and sign:
                kept, lost = move_right(opposite(total, self.room + 1), 1, self.room)
                total, worth = opposite(kept, self.room), -int(lost, 2) * unit
            else:
                total, lost = move_right(total, 1, self.room)
                worth = int(lost, 2) * unit
            exponent += 1
            self.write(
                "repair",
                ["repair", "repair.lost" if "1" in lost else "repair.kept"],
                sign=sign,
                places=1,
                lost=lost,
                worth=worth,
            )
        alike = len(total) - len(total.lstrip(total[0]))
        if "1" in total and alike > 1:
            total, exponent = total[alike - 1 :] + "0" * (alike - 1), exponent - (alike - 1)
            keys = ["normalise.one" if alike == 2 else "normalise.more"]
            self.write("normalise", keys, places=alike - 1, alike=alike, exponent=exponent)
        if self.extra:
            total, exponent = self.cut(total, exponent, overflowed=overflowed)
        if "1" not in total:
            self.write("range", ["range.zero", "zero.lowest"], zero=True)
        elif exponent > self.highest:
            self.write("range", ["range.over"], exponent=exponent, highest=self.highest, zero=False)
        elif exponent < self.lowest:
            self.write("range", ["range.under"], exponent=exponent, lowest=self.lowest, zero=False)

    def cut(self, total: str, exponent: int, *, overflowed: bool) -> tuple[str, int]:
        """Bring the sum to its width, by cutting or to the nearest."""
        kept, past = total[: self.width], total[self.width :]
        unit = Fraction(2) ** (exponent - (self.width - 1))
        share = Fraction(int(past, 2), 2 ** len(past))
        nearest = self.method.endswith("nearest")
        up = nearest and (share > Fraction(1, 2) or (share == Fraction(1, 2) and kept[-1] == "1"))
        if up:
            wide, _, _ = columns(kept[0] + kept, "0" * self.width + "1")
            kept = trimmed(wide, self.width)
            if len(kept) > self.width:
                kept, exponent = kept[: self.width], exponent + 1
            elif "1" in kept and kept[0] == kept[1]:
                kept, exponent = kept[1:] + "0", exponent - 1
        worth = (share - up) * unit
        if not worth:
            keys = ["cut.lost-0s"]
        elif nearest:
            keys = ["cut.nearest", "cut.above" if up else "cut.below"]
        else:
            keys = ["cut.lost"]
        shown = past[:-1] if len(past) > 1 and not overflowed else past
        self.write("cut", keys, width=self.width, lost=shown, worth=worth)
        return kept, exponent
