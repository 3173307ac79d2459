"""The tables. Times are texts in UTC, so that both databases keep and sort them alike."""

from __future__ import annotations

from typing import Annotated

from sqlalchemy import ForeignKey, Index, MetaData, String, Text
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from chalkpoint.records.ids import LENGTH, new_id, now

__all__ = ["Base", "JobRow", "KeptRow", "SessionRow", "TeacherRow", "TryRow"]

Key = Annotated[str, mapped_column(String(LENGTH), primary_key=True, default=new_id)]
Time = Annotated[str, mapped_column(String(27), default=now)]


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


class TeacherRow(Base):
    """A teacher. `local` marks the one who is made by himself on a laptop."""

    __tablename__ = "teacher"

    id: Mapped[Key]
    name: Mapped[str] = mapped_column(String(200), unique=True)
    password: Mapped[str | None] = mapped_column(Text)
    local: Mapped[bool] = mapped_column(default=False)
    created: Mapped[Time]


class SessionRow(Base):
    """A signed-in browser, known by the digest of its secret."""

    __tablename__ = "session"

    digest: Mapped[str] = mapped_column(String(64), primary_key=True)
    teacher: Mapped[str] = mapped_column(ForeignKey("teacher.id", ondelete="CASCADE"), index=True)
    created: Mapped[Time]
    seen: Mapped[Time]


class TryRow(Base):
    """A failed try at a secret: a password, or a room's word. `what` names the secret, never the one who tried."""

    __tablename__ = "try"

    id: Mapped[Key]
    what: Mapped[str] = mapped_column(String(200), index=True)
    at: Mapped[Time]


class KeptRow(Base):
    """A thing a teacher keeps: its own text, and a few words about where it comes from."""

    __tablename__ = "kept"
    __table_args__ = (Index(None, "teacher", "kind", "created"),)

    id: Mapped[Key]
    teacher: Mapped[str] = mapped_column(ForeignKey("teacher.id", ondelete="CASCADE"))
    kind: Mapped[str] = mapped_column(String(20))
    title: Mapped[str] = mapped_column(Text)
    body: Mapped[str] = mapped_column(Text)
    about: Mapped[str] = mapped_column(Text, default="{}")
    created: Mapped[Time]
    changed: Mapped[Time]
    deleted: Mapped[str | None] = mapped_column(String(27))


class JobRow(Base):
    """Long work: how far it is, and what came of it. `by` names the process that does it."""

    __tablename__ = "job"

    id: Mapped[Key]
    teacher: Mapped[str] = mapped_column(ForeignKey("teacher.id", ondelete="CASCADE"), index=True)
    what: Mapped[str] = mapped_column(Text)
    state: Mapped[str] = mapped_column(String(10), default="running")
    done: Mapped[int] = mapped_column(default=0)
    of: Mapped[int] = mapped_column(default=0)
    result: Mapped[str] = mapped_column(Text, default="")
    by: Mapped[str] = mapped_column(String(LENGTH), default="")
    created: Mapped[Time]
    seen: Mapped[Time]
