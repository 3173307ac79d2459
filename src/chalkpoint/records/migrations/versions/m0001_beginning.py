"""The tables as they were at first."""

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
    op.create_table(
        "audit",
        sa.Column("id", sa.String(length=12), nullable=False),
        sa.Column("teacher", sa.String(length=12), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("what", sa.String(length=80), nullable=False),
        sa.Column("object", sa.String(length=80), nullable=False),
        sa.Column("before", sa.Text(), nullable=False),
        sa.Column("after", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["teacher"], ["teacher.id"], name="fk_audit_teacher", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name="pk_audit"),
    )
    op.create_index("ix_audit_object_at", "audit", ["object", "at"])

    op.create_table(
        "decision",
        sa.Column("id", sa.String(length=12), nullable=False),
        sa.Column("papers", sa.String(length=12), nullable=False),
        sa.Column("teacher", sa.String(length=12), nullable=False),
        sa.Column("student", sa.String(length=200), nullable=False),
        sa.Column("question", sa.Integer(), nullable=False),
        sa.Column("line", sa.String(length=40), nullable=False),
        sa.Column("marks", sa.Integer(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("at", sa.String(length=27), nullable=False),
        sa.Column("withdrawn", sa.String(length=27), nullable=True),
        sa.ForeignKeyConstraint(["papers"], ["kept.id"], name="fk_decision_papers", ondelete="CASCADE"),
        sa.ForeignKeyConstraint(["teacher"], ["teacher.id"], name="fk_decision_teacher", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name="pk_decision"),
    )
    op.create_index("ix_decision_papers_student", "decision", ["papers", "student"])

    op.create_table(
        "run",
        sa.Column("id", sa.String(length=12), nullable=False),
        sa.Column("papers", sa.String(length=12), nullable=False),
        sa.Column("rules", sa.String(length=80), nullable=False),
        sa.Column("created", sa.String(length=27), nullable=False),
        sa.ForeignKeyConstraint(["papers"], ["kept.id"], name="fk_run_papers", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name="pk_run"),
    )
    op.create_index("ix_run_papers_created", "run", ["papers", "created"])

    op.create_table(
        "script",
        sa.Column("id", sa.String(length=12), nullable=False),
        sa.Column("papers", sa.String(length=12), nullable=False),
        sa.Column("student", sa.String(length=200), nullable=False),
        sa.Column("variant", sa.Integer(), nullable=False),
        sa.Column("troubles", sa.Text(), nullable=False),
        sa.Column("created", sa.String(length=27), nullable=False),
        sa.Column("changed", sa.String(length=27), nullable=False),
        sa.Column("deleted", sa.String(length=27), nullable=True),
        sa.ForeignKeyConstraint(["papers"], ["kept.id"], name="fk_script_papers", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name="pk_script"),
        sa.UniqueConstraint("papers", "student", name="uq_script_papers_student"),
    )
    op.create_table(
        "answer",
        sa.Column("script", sa.String(length=12), nullable=False),
        sa.Column("question", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("line", sa.String(length=40), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("written", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["script"], ["script.id"], name="fk_answer_script", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("script", "question", "line", name="pk_answer"),
    )
    op.create_table(
        "belief",
        sa.Column("run", sa.String(length=12), nullable=False),
        sa.Column("student", sa.String(length=200), nullable=False),
        sa.Column("misconception", sa.String(length=80), nullable=False),
        sa.Column("shown", sa.Integer(), nullable=False),
        sa.Column("could", sa.Integer(), nullable=False),
        sa.Column("named", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["run"], ["run.id"], name="fk_belief_run", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("run", "student", "misconception", name="pk_belief"),
    )
    op.create_table(
        "entry",
        sa.Column("run", sa.String(length=12), nullable=False),
        sa.Column("student", sa.String(length=200), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("marks", sa.Integer(), nullable=False),
        sa.Column("of", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["run"], ["run.id"], name="fk_entry_run", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("run", "student", name="pk_entry"),
    )


def downgrade() -> None:
    """Go one step back."""
    op.drop_table("entry")
    op.drop_table("belief")
    op.drop_table("answer")
    op.drop_table("script")
    op.drop_index("ix_run_papers_created", "run")

    op.drop_table("run")
    op.drop_index("ix_decision_papers_student", "decision")

    op.drop_table("decision")
    op.drop_index("ix_audit_object_at", "audit")

    op.drop_table("audit")
    op.drop_index("ix_session_teacher", "session")

    op.drop_table("session")
    op.drop_index("ix_kept_teacher_kind_created", "kept")

    op.drop_table("kept")
    op.drop_index("ix_job_teacher", "job")

    op.drop_table("job")
    op.drop_index("ix_try_what", "try")

    op.drop_table("try")
    op.drop_table("teacher")
