"""Permits and closures."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    op.create_table(
        "closure",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("first_day", sa.Date(), nullable=True),
        sa.Column("last_day", sa.Date(), nullable=True),
        sa.Column("season", sa.Text(), nullable=True),
        sa.Column("hours", sa.Text(), nullable=True),
        sa.Column("shape", sa.Text(), nullable=False),
        sa.Column("line", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("last_confirmed", sa.Date(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_closure_location_id_location"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_closure")),
    )
    with op.batch_alter_table("closure", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_closure_location_id"), ["location_id"], unique=False
        )

    op.create_table(
        "permit",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("owner", sa.Text(), nullable=False),
        sa.Column("allows", sa.Text(), nullable=False),
        sa.Column("commercial_use", sa.Boolean(), nullable=True),
        sa.Column("drone", sa.Boolean(), nullable=True),
        sa.Column("expires", sa.Date(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_permit_location_id_location"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_permit")),
    )
    with op.batch_alter_table("permit", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_permit_location_id"), ["location_id"], unique=False
        )
