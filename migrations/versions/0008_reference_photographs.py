"""Reference photographs of vantage points; what is kept has none."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    op.create_table(
        "photograph",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("vantage_point_id", sa.Uuid(), nullable=False),
        sa.Column("caption", sa.Text(), nullable=False),
        sa.Column("jpeg", sa.LargeBinary(), nullable=False),
        sa.Column("taken", sa.Text(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_photograph_location_id_location"),
        ),
        sa.ForeignKeyConstraint(
            ["vantage_point_id"],
            ["vantage_point.id"],
            name=op.f("fk_photograph_vantage_point_id_vantage_point"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_photograph")),
    )
    with op.batch_alter_table("photograph", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_photograph_location_id"), ["location_id"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_photograph_vantage_point_id"),
            ["vantage_point_id"],
            unique=False,
        )
