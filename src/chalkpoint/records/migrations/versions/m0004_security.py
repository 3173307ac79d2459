"""Rooms that can be closed to newcomers, seats that forget who sat there, sessions with names, a security log."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Go one step up."""
    op.create_table(
        "setting",
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_setting"),
    )
    op.create_table(
        "security",
        sa.Column("id", sa.String(length=12), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("teacher", sa.String(length=12), nullable=True),
        sa.Column("what", sa.String(length=80), nullable=False),
        sa.Column("browser", sa.String(length=80), nullable=False),
        sa.ForeignKeyConstraint(["teacher"], ["teacher.id"], name="fk_security_teacher", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name="pk_security"),
    )
    op.create_index("ix_security_at", "security", ["at"])
    op.create_index("ix_security_teacher", "security", ["teacher"])
    for table, column in added():
        op.add_column(table, column)


def downgrade() -> None:
    """Go one step back."""
    for table, column in reversed(added()):
        op.drop_column(table, column.name)
    op.drop_index("ix_security_teacher", "security")
    op.drop_index("ix_security_at", "security")
    op.drop_table("security")
    op.drop_table("setting")


def added() -> list[tuple[str, Any]]:
    """Return (table, column) of the columns that are new."""
    return [
        ("session", sa.Column("browser", sa.String(length=80), nullable=False, server_default="")),
        ("session", sa.Column("by_password", sa.Boolean(), nullable=False, server_default=sa.false())),
        ("room", sa.Column("closed", sa.Boolean(), nullable=False, server_default=sa.false())),
        ("room", sa.Column("per_address", sa.Integer(), nullable=False, server_default="5")),
        ("seat", sa.Column("since", sa.String(length=27), nullable=False, server_default="")),
        ("seat", sa.Column("source", sa.String(length=64), nullable=False, server_default="")),
    ]
