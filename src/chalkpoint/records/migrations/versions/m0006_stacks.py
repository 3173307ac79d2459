"""Stacks of handwritten papers: what was read, and the pages with the names masked."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Go one step up."""
    op.create_table(
        "stack",
        sa.Column("papers", sa.String(12), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("created", sa.String(27), nullable=False),
        sa.Column("changed", sa.String(27), nullable=False),
        sa.ForeignKeyConstraint(["papers"], ["kept.id"], name="fk_stack_papers", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("papers", name="pk_stack"),
    )
    op.create_table(
        "page",
        sa.Column("papers", sa.String(12), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("picture", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["papers"], ["stack.papers"], name="fk_page_papers", ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("papers", "number", name="pk_page"),
    )


def downgrade() -> None:
    """Go one step back."""
    op.drop_table("page")
    op.drop_table("stack")
