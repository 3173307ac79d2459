"""Things that other teachers may look at, and live rooms."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Go one step up."""
    op.create_table(
        "share",
        sa.Column("kept", sa.String(length=12), nullable=False),
        sa.Column("teacher", sa.String(length=12), nullable=False),
        sa.Column("role", sa.String(length=20), nullable=False),
        sa.Column("created", sa.String(length=27), nullable=False),
        sa.ForeignKeyConstraint(["kept"], ["kept.id"], name="fk_share_kept", ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["teacher"], ["teacher.id"], name="fk_share_teacher", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("kept", "teacher", name="pk_share"),
    )
    op.create_index("ix_share_teacher", "share", ["teacher"])
    op.create_table(
        "room",
        sa.Column("id", sa.String(length=12), nullable=False),
        sa.Column("teacher", sa.String(length=12), nullable=False),
        sa.Column("word", sa.String(length=40), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("opened", sa.String(length=27), nullable=False),
        sa.ForeignKeyConstraint(["teacher"], ["teacher.id"], name="fk_room_teacher", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name="pk_room"),
        sa.UniqueConstraint("word", name="uq_room_word"),
    )
    op.create_index("ix_room_teacher", "room", ["teacher"])
    op.create_table(
        "seat",
        sa.Column("room", sa.String(length=12), nullable=False),
        sa.Column("seat", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("code", sa.String(length=20), nullable=True),
        sa.Column("digest", sa.String(length=64), nullable=True),
        sa.ForeignKeyConstraint(["room"], ["room.id"], name="fk_seat_room", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("room", "seat", name="pk_seat"),
        sa.UniqueConstraint("room", "code", name="uq_seat_room_code"),
        sa.UniqueConstraint("room", "digest", name="uq_seat_room_digest"),
    )
    op.create_table(
        "line",
        sa.Column("room", sa.String(length=12), nullable=False),
        sa.Column("round", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("seat", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("written", sa.Text(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.ForeignKeyConstraint(["room"], ["room.id"], name="fk_line_room", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("room", "round", "seat", name="pk_line"),
    )


def downgrade() -> None:
    """Go one step back."""
    op.drop_table("line")
    op.drop_table("seat")
    op.drop_index("ix_room_teacher", "room")
    op.drop_table("room")
    op.drop_index("ix_share_teacher", "share")
    op.drop_table("share")
