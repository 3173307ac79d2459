"""What a teacher keeps, sessions and long work."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Go one step up."""
    op.create_table(
        "teacher",
        sa.Column("id", sa.String(length=12), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("password", sa.Text(), nullable=True),
        sa.Column("local", sa.Boolean(), nullable=False),
        sa.Column("created", sa.String(length=27), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_teacher"),
        sa.UniqueConstraint("name", name="uq_teacher_name"),
    )
    op.create_table(
        "try",
        sa.Column("id", sa.String(length=12), nullable=False),
        sa.Column("what", sa.String(length=200), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_try"),
    )
    op.create_index("ix_try_what", "try", ["what"])

    op.create_table(
        "job",
        sa.Column("id", sa.String(length=12), nullable=False),
        sa.Column("teacher", sa.String(length=12), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("state", sa.String(length=10), nullable=False),
        sa.Column("done", sa.Integer(), nullable=False),
        sa.Column("of", sa.Integer(), nullable=False),
        sa.Column("result", sa.Text(), nullable=False),
        sa.Column("by", sa.String(length=12), nullable=False),
        sa.Column("created", sa.String(length=27), nullable=False),
        sa.Column("seen", sa.String(length=27), nullable=False),
        sa.ForeignKeyConstraint(["teacher"], ["teacher.id"], name="fk_job_teacher", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name="pk_job"),
    )
    op.create_index("ix_job_teacher", "job", ["teacher"])

    op.create_table(
        "kept",
        sa.Column("id", sa.String(length=12), nullable=False),
        sa.Column("teacher", sa.String(length=12), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("about", sa.Text(), nullable=False),
        sa.Column("created", sa.String(length=27), nullable=False),
        sa.Column("changed", sa.String(length=27), nullable=False),
        sa.Column("deleted", sa.String(length=27), nullable=True),
        sa.ForeignKeyConstraint(["teacher"], ["teacher.id"], name="fk_kept_teacher", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name="pk_kept"),
    )
    op.create_index("ix_kept_teacher_kind_created", "kept", ["teacher", "kind", "created"])

    op.create_table(
        "session",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("teacher", sa.String(length=12), nullable=False),
        sa.Column("created", sa.String(length=27), nullable=False),
        sa.Column("seen", sa.String(length=27), nullable=False),
        sa.ForeignKeyConstraint(["teacher"], ["teacher.id"], name="fk_session_teacher", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("digest", name="pk_session"),
    )
    op.create_index("ix_session_teacher", "session", ["teacher"])


def downgrade() -> None:
    """Go one step back."""
    op.drop_index("ix_session_teacher", "session")

    op.drop_table("session")
    op.drop_index("ix_kept_teacher_kind_created", "kept")

    op.drop_table("kept")
    op.drop_index("ix_job_teacher", "job")

    op.drop_table("job")
    op.drop_index("ix_try_what", "try")

    op.drop_table("try")
    op.drop_table("teacher")
