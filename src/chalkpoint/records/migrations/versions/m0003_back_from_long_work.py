"""Long work says which page it was begun on."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Go one step up."""
    op.add_column("job", sa.Column("back", sa.Text(), nullable=False, server_default=""))


def downgrade() -> None:
    """Go one step back."""
    op.drop_column("job", "back")
