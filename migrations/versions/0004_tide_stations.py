"""Tide stations, levels of vantage points, waves, and what was seen of crossings."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    op.create_table(
        "station",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("datum", sa.Text(), nullable=False),
        sa.Column("lat_deg", sa.Double(), nullable=True),
        sa.Column("lon_deg", sa.Double(), nullable=True),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("z0_m", sa.Double(), nullable=True),
        sa.Column("constants", sa.Text(), nullable=False),
        sa.Column("fit_margin_m", sa.Double(), nullable=False),
        sa.Column("turns", sa.Text(), nullable=False),
        sa.Column("standard_id", sa.Uuid(), nullable=True),
        sa.Column("differences", sa.Text(), nullable=True),
        sa.Column("exposure", sa.Text(), nullable=True),
        sa.Column("is_distorted", sa.Boolean(), nullable=True),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("year", sa.Integer(), nullable=True),
        sa.Column("licence", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["standard_id"],
            ["station.id"],
            name=op.f("fk_station_standard_id_station"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_station")),
    )
    with op.batch_alter_table("station", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_station_standard_id"), ["standard_id"], unique=False
        )

    with op.batch_alter_table("location", schema=None) as batch_op:
        batch_op.add_column(sa.Column("station_id", sa.Uuid(), nullable=True))
        batch_op.add_column(
            sa.Column("is_station_beyond_headland", sa.Boolean(), nullable=True)
        )
        batch_op.create_foreign_key(
            batch_op.f("fk_location_station_id_station"),
            "station",
            ["station_id"],
            ["id"],
        )
        batch_op.create_index(
            batch_op.f("ix_location_station_id"), ["station_id"], unique=False
        )

    # What is kept gets a value, which is no default of the table afterwards.
    with op.batch_alter_table("vantage_point", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("level_datum", sa.Text(), nullable=False, server_default="")
        )
        batch_op.add_column(sa.Column("flooded_above_m", sa.Double(), nullable=True))
        batch_op.add_column(sa.Column("wanted_above_m", sa.Double(), nullable=True))
        batch_op.add_column(sa.Column("wanted_below_m", sa.Double(), nullable=True))
        batch_op.add_column(
            sa.Column(
                "wanted_turn",
                sa.Text(),
                nullable=False,
                server_default="rising or falling",
            )
        )
        batch_op.add_column(sa.Column("shore", sa.Text(), nullable=True))
        batch_op.add_column(sa.Column("beach_slope", sa.Double(), nullable=True))
    with op.batch_alter_table("vantage_point", schema=None) as batch_op:
        batch_op.alter_column("level_datum", server_default=None)
        batch_op.alter_column("wanted_turn", server_default=None)

    with op.batch_alter_table("leg", schema=None) as batch_op:
        batch_op.add_column(sa.Column("shore", sa.Text(), nullable=True))
        batch_op.add_column(sa.Column("beach_slope", sa.Double(), nullable=True))
        batch_op.add_column(sa.Column("last_storm", sa.Date(), nullable=True))

    with op.batch_alter_table("trip", schema=None) as batch_op:
        batch_op.add_column(sa.Column("sea", sa.Text(), nullable=True))
        batch_op.add_column(sa.Column("wave_height_m", sa.Double(), nullable=True))
        batch_op.add_column(sa.Column("wave_period_s", sa.Double(), nullable=True))

    op.create_table(
        "crossing_observation",
        sa.Column("leg_id", sa.Uuid(), nullable=False),
        sa.Column("instant", sa.Text(), nullable=False),
        sa.Column("is_passable", sa.Boolean(), nullable=False),
        sa.Column("level_m", sa.Double(), nullable=False),
        sa.Column("datum", sa.Text(), nullable=False),
        sa.Column("pressure_hpa", sa.Double(), nullable=True),
        sa.Column("is_confirmed", sa.Boolean(), nullable=False),
        sa.Column("remark", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["leg_id"], ["leg.id"], name=op.f("fk_crossing_observation_leg_id_leg")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_crossing_observation")),
    )
    with op.batch_alter_table("crossing_observation", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_crossing_observation_leg_id"), ["leg_id"], unique=False
        )
