"""Files of heights that a library uses."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    op.create_table(
        "elevation_file",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("path", sa.Text(), nullable=False),
        sa.Column("keeping", sa.Text(), nullable=False),
        sa.Column("is_surface", sa.Boolean(), nullable=True),
        sa.Column("leaves_sea_out", sa.Boolean(), nullable=False),
        sa.Column("credit", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_elevation_file")),
    )
