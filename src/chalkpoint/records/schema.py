"""The tables. Times are texts in UTC, so that both databases keep and sort them alike."""

from __future__ import annotations

from typing import Annotated

from sqlalchemy import ForeignKey, Index, LargeBinary, MetaData, UniqueConstraint, false
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from chalkpoint.records.columns import Whole, Words
from chalkpoint.records.ids import LENGTH, new_id, now

__all__ = [
    "AnswerRow",
    "AuditRow",
    "Base",
    "BeliefRow",
    "DecisionRow",
    "EntryRow",
    "JobRow",
    "KeptRow",
    "LineRow",
    "PageRow",
    "RoomRow",
    "RunRow",
    "ScriptRow",
    "SeatRow",
    "SecurityRow",
    "SessionRow",
    "SettingRow",
    "ShareRow",
    "StackRow",
    "TeacherRow",
    "TryRow",
]

Key = Annotated[str, mapped_column(Words(LENGTH), primary_key=True, default=new_id)]
Time = Annotated[str, mapped_column(Words(27), default=now)]


class Base(DeclarativeBase):
    """What all tables share: constraints have names, so that a migration can speak of them."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s",
            "pk": "pk_%(table_name)s",
        }
    )
    type_annotation_map = {str: Words(), int: Whole()}  # noqa: RUF012 - the library reads it from the class


class TeacherRow(Base):
    """A teacher. `local` marks the one who is made by himself on a laptop."""

    __tablename__ = "teacher"

    id: Mapped[Key]
    name: Mapped[str] = mapped_column(Words(200), unique=True)
    password: Mapped[str | None] = mapped_column(Words())
    local: Mapped[bool] = mapped_column(default=False)
    created: Mapped[Time]


class SessionRow(Base):
    """A signed-in browser, known by the digest of its secret."""

    __tablename__ = "session"

    digest: Mapped[str] = mapped_column(Words(64), primary_key=True)
    teacher: Mapped[str] = mapped_column(ForeignKey("teacher.id", ondelete="CASCADE"), index=True)
    created: Mapped[Time]
    seen: Mapped[Time]
    browser: Mapped[str] = mapped_column(Words(80), default="", server_default="")
    by_password: Mapped[bool] = mapped_column(default=False, server_default=false())


class SettingRow(Base):
    """One value for the whole database, such as the key that addresses are digested with."""

    __tablename__ = "setting"

    name: Mapped[str] = mapped_column(Words(40), primary_key=True)
    value: Mapped[str] = mapped_column(Words())


class SecurityRow(Base):
    """A line of the security log: a sign-in, a refusal, a session ended. Nothing of a pupil's is in it."""

    __tablename__ = "security"

    id: Mapped[Key]
    at: Mapped[Time] = mapped_column(index=True)
    teacher: Mapped[str | None] = mapped_column(ForeignKey("teacher.id", ondelete="CASCADE"), index=True)
    what: Mapped[str] = mapped_column(Words(80))
    browser: Mapped[str] = mapped_column(Words(80), default="")


class TryRow(Base):
    """A failed try at a secret: `what` is a digest of the kind of secret and of the browser or address that tried."""

    __tablename__ = "try"

    id: Mapped[Key]
    what: Mapped[str] = mapped_column(Words(200), index=True)
    at: Mapped[Time]


class KeptRow(Base):
    """A thing a teacher keeps: its own text, and a few words about where it comes from."""

    __tablename__ = "kept"
    __table_args__ = (Index(None, "teacher", "kind", "created"),)

    id: Mapped[Key]
    teacher: Mapped[str] = mapped_column(ForeignKey("teacher.id", ondelete="CASCADE"))
    kind: Mapped[str] = mapped_column(Words(20))
    title: Mapped[str] = mapped_column(Words())
    body: Mapped[str] = mapped_column(Words())
    about: Mapped[str] = mapped_column(Words(), default="{}")
    created: Mapped[Time]
    changed: Mapped[Time]
    deleted: Mapped[str | None] = mapped_column(Words(27))


class JobRow(Base):
    """Long work: how far it is, and what came of it.

    `by` names the process that does it, `back` the page that it was begun on.
    """

    __tablename__ = "job"

    id: Mapped[Key]
    teacher: Mapped[str] = mapped_column(ForeignKey("teacher.id", ondelete="CASCADE"), index=True)
    what: Mapped[str] = mapped_column(Words())
    state: Mapped[str] = mapped_column(Words(10), default="running")
    done: Mapped[int] = mapped_column(default=0)
    of: Mapped[int] = mapped_column(default=0)
    result: Mapped[str] = mapped_column(Words(), default="")
    by: Mapped[str] = mapped_column(Words(LENGTH), default="")
    back: Mapped[str] = mapped_column(Words(), default="", server_default="")
    created: Mapped[Time]
    seen: Mapped[Time]


class ScriptRow(Base):
    """What one pupil handed in of a set of papers; the pupil is a code."""

    __tablename__ = "script"
    __table_args__ = (UniqueConstraint("papers", "student"),)

    id: Mapped[Key]
    papers: Mapped[str] = mapped_column(ForeignKey("kept.id", ondelete="CASCADE"))
    student: Mapped[str] = mapped_column(Words(200))
    variant: Mapped[int]
    troubles: Mapped[str] = mapped_column(Words(), default="[]")
    created: Mapped[Time]
    changed: Mapped[Time]
    deleted: Mapped[str | None] = mapped_column(Words(27))


class AnswerRow(Base):
    """One written line of a script; `place` keeps the order in which lines were written."""

    __tablename__ = "answer"

    script: Mapped[str] = mapped_column(ForeignKey("script.id", ondelete="CASCADE"), primary_key=True)
    question: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    line: Mapped[str] = mapped_column(Words(40), primary_key=True)
    place: Mapped[int]
    written: Mapped[str] = mapped_column(Words())


class RunRow(Base):
    """One marking of a set of papers, and the version of the rules that made it."""

    __tablename__ = "run"
    __table_args__ = (Index(None, "papers", "created"),)

    id: Mapped[Key]
    papers: Mapped[str] = mapped_column(ForeignKey("kept.id", ondelete="CASCADE"))
    rules: Mapped[str] = mapped_column(Words(80))
    created: Mapped[Time]


class EntryRow(Base):
    """One pupil's marks in a run, as chalkpoint.marks/1 has them."""

    __tablename__ = "entry"

    run: Mapped[str] = mapped_column(ForeignKey("run.id", ondelete="CASCADE"), primary_key=True)
    student: Mapped[str] = mapped_column(Words(200), primary_key=True)
    place: Mapped[int]
    marks: Mapped[int]
    of: Mapped[int]
    body: Mapped[str] = mapped_column(Words())


class BeliefRow(Base):
    """A belief that one pupil's answers spoke for in a run; `named` only where all its conditions held."""

    __tablename__ = "belief"

    run: Mapped[str] = mapped_column(ForeignKey("run.id", ondelete="CASCADE"), primary_key=True)
    student: Mapped[str] = mapped_column(Words(200), primary_key=True)
    misconception: Mapped[str] = mapped_column(Words(80), primary_key=True)
    shown: Mapped[int]
    could: Mapped[int]
    named: Mapped[bool]


class DecisionRow(Base):
    """A teacher's decision on a mark: added, perhaps withdrawn, never changed."""

    __tablename__ = "decision"
    __table_args__ = (Index(None, "papers", "student"),)

    id: Mapped[Key]
    papers: Mapped[str] = mapped_column(ForeignKey("kept.id", ondelete="CASCADE"))
    teacher: Mapped[str] = mapped_column(ForeignKey("teacher.id", ondelete="CASCADE"))
    student: Mapped[str] = mapped_column(Words(200))
    question: Mapped[int]
    line: Mapped[str] = mapped_column(Words(40))
    marks: Mapped[int]
    reason: Mapped[str] = mapped_column(Words())
    at: Mapped[Time]
    withdrawn: Mapped[str | None] = mapped_column(Words(27))


class AuditRow(Base):
    """Who did what, when, and the state before and after."""

    __tablename__ = "audit"
    __table_args__ = (Index(None, "object", "at"),)

    id: Mapped[Key]
    teacher: Mapped[str] = mapped_column(ForeignKey("teacher.id", ondelete="CASCADE"))
    at: Mapped[Time]
    what: Mapped[str] = mapped_column(Words(80))
    object: Mapped[str] = mapped_column(Words(80))
    before: Mapped[str] = mapped_column(Words(), default="")
    after: Mapped[str] = mapped_column(Words(), default="")


class ShareRow(Base):
    """A thing that another teacher may look at: `role` says as what."""

    __tablename__ = "share"

    kept: Mapped[str] = mapped_column(ForeignKey("kept.id", ondelete="CASCADE"), primary_key=True)
    teacher: Mapped[str] = mapped_column(
        ForeignKey("teacher.id", ondelete="CASCADE"), primary_key=True, index=True
    )
    role: Mapped[str] = mapped_column(Words(20))
    created: Mapped[Time]


class RoomRow(Base):
    """A live room, as long as it is open: its word, and the room itself as its own text.

    closed       whether newcomers are kept out
    per_address  how many seats may be taken from one address by the word; 0 for any number
    """

    __tablename__ = "room"

    id: Mapped[Key]
    teacher: Mapped[str] = mapped_column(ForeignKey("teacher.id", ondelete="CASCADE"), index=True)
    word: Mapped[str] = mapped_column(Words(40), unique=True)
    body: Mapped[str]
    opened: Mapped[Time]
    closed: Mapped[bool] = mapped_column(default=False, server_default=false())
    per_address: Mapped[int] = mapped_column(default=5, server_default="5")


class SeatRow(Base):
    """A seat of a room: the code on its slip, and the digest of the secret of the browser that sits there.

    since   when that browser came; what was written before is not shown to it
    source  a digest of the address it came from, "" where that is not counted
    """

    __tablename__ = "seat"
    __table_args__ = (
        UniqueConstraint("room", "code"),
        UniqueConstraint("room", "digest"),
        Index(None, "digest"),
    )

    room: Mapped[str] = mapped_column(ForeignKey("room.id", ondelete="CASCADE"), primary_key=True)
    seat: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    code: Mapped[str | None] = mapped_column(Words(20))
    digest: Mapped[str | None] = mapped_column(Words(64))
    since: Mapped[str] = mapped_column(Words(27), default="", server_default="")
    source: Mapped[str] = mapped_column(Words(64), default="", server_default="")


class LineRow(Base):
    """What one seat wrote in one round: one row, whatever is sent twice or changed."""

    __tablename__ = "line"

    room: Mapped[str] = mapped_column(ForeignKey("room.id", ondelete="CASCADE"), primary_key=True)
    round: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    seat: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    written: Mapped[str]
    at: Mapped[Time]


class StackRow(Base):
    """A stack of handwritten papers as it was read (chalkpoint.stack/1), with what the teacher said of it."""

    __tablename__ = "stack"

    papers: Mapped[str] = mapped_column(ForeignKey("kept.id", ondelete="CASCADE"), primary_key=True)
    body: Mapped[str]
    created: Mapped[Time]
    changed: Mapped[Time]


class PageRow(Base):
    """The picture of one page of a stack, the name on it masked."""

    __tablename__ = "page"

    papers: Mapped[str] = mapped_column(ForeignKey("stack.papers", ondelete="CASCADE"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    picture: Mapped[bytes] = mapped_column(LargeBinary())
