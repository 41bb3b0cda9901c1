"""A walk may go over a part of its leg; what is kept went over the whole of it."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    with op.batch_alter_table("walk", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("from_share", sa.Double(), nullable=False, server_default="0.0")
        )
        batch_op.add_column(
            sa.Column("to_share", sa.Double(), nullable=False, server_default="1.0")
        )
    with op.batch_alter_table("walk", schema=None) as batch_op:
        batch_op.alter_column("from_share", server_default=None)
        batch_op.alter_column("to_share", server_default=None)
