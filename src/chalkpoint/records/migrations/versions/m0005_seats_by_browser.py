"""A seat is found by its browser's secret without looking at every other."""

from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Go one step up."""
    op.create_index("ix_seat_digest", "seat", ["digest"])


def downgrade() -> None:
    """Go one step back."""
    op.drop_index("ix_seat_digest", "seat")
