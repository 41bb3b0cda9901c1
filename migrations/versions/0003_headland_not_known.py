"""Whether a vantage point is on a headland may be not known; what is kept stays."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    with op.batch_alter_table("vantage_point", schema=None) as batch_op:
        batch_op.alter_column("on_headland", existing_type=sa.Boolean(), nullable=True)
