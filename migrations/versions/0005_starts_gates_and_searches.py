"""Starts of trips, gates, wanted conditions, kept searches, and more of each trip."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    op.create_table(
        "start_place",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("lat_deg", sa.Double(), nullable=False),
        sa.Column("lon_deg", sa.Double(), nullable=False),
        sa.Column("hours", sa.Text(), nullable=True),
        sa.Column("is_always_open", sa.Boolean(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_start_place_location_id_location"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_start_place")),
    )
    with op.batch_alter_table("start_place", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_start_place_location_id"), ["location_id"], unique=False
        )

    op.create_table(
        "date_search",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("first_day", sa.Date(), nullable=False),
        sa.Column("last_day", sa.Date(), nullable=False),
        sa.Column("conditions", sa.Text(), nullable=False),
        sa.Column("vantage_point_id", sa.Uuid(), nullable=True),
        sa.Column("subject_id", sa.Uuid(), nullable=True),
        sa.Column("least_min", sa.Double(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_date_search_location_id_location"),
        ),
        sa.ForeignKeyConstraint(
            ["subject_id"],
            ["subject.id"],
            name=op.f("fk_date_search_subject_id_subject"),
        ),
        sa.ForeignKeyConstraint(
            ["vantage_point_id"],
            ["vantage_point.id"],
            name=op.f("fk_date_search_vantage_point_id_vantage_point"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_date_search")),
    )
    with op.batch_alter_table("date_search", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_date_search_location_id"), ["location_id"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_date_search_subject_id"), ["subject_id"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_date_search_vantage_point_id"),
            ["vantage_point_id"],
            unique=False,
        )

    op.create_table(
        "gate",
        sa.Column("trip_id", sa.Uuid(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("leg_id", sa.Uuid(), nullable=True),
        sa.Column("vantage_point_id", sa.Uuid(), nullable=True),
        sa.Column("must_see", sa.Text(), nullable=False),
        sa.Column("fallback", sa.Text(), nullable=False),
        sa.Column("decide_by", sa.Text(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["leg_id"], ["leg.id"], name=op.f("fk_gate_leg_id_leg")
        ),
        sa.ForeignKeyConstraint(
            ["trip_id"], ["trip.id"], name=op.f("fk_gate_trip_id_trip")
        ),
        sa.ForeignKeyConstraint(
            ["vantage_point_id"],
            ["vantage_point.id"],
            name=op.f("fk_gate_vantage_point_id_vantage_point"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_gate")),
    )
    with op.batch_alter_table("gate", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_gate_leg_id"), ["leg_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_gate_trip_id"), ["trip_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_gate_vantage_point_id"), ["vantage_point_id"], unique=False
        )

    with op.batch_alter_table("leg", schema=None) as batch_op:
        batch_op.add_column(sa.Column("on_headland", sa.Boolean(), nullable=True))
        batch_op.add_column(sa.Column("crosses_water", sa.Boolean(), nullable=True))
        batch_op.add_column(sa.Column("seaward_deg", sa.Double(), nullable=True))

    with op.batch_alter_table("location", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("emergency", sa.Text(), nullable=False, server_default="")
        )
        batch_op.add_column(sa.Column("coverage", sa.Text(), nullable=True))
        batch_op.add_column(
            sa.Column("nearest_road", sa.Text(), nullable=False, server_default="")
        )

    with op.batch_alter_table("stop", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("conditions", sa.Text(), nullable=False, server_default="[]")
        )
        batch_op.add_column(
            sa.Column("is_must", sa.Boolean(), nullable=False, server_default=sa.true())
        )
        batch_op.add_column(
            sa.Column("least_min", sa.Double(), nullable=False, server_default="15.0")
        )
        batch_op.add_column(
            sa.Column("wish_min", sa.Double(), nullable=False, server_default="45.0")
        )
        batch_op.add_column(
            sa.Column("setup_min", sa.Double(), nullable=False, server_default="15.0")
        )
        batch_op.add_column(
            sa.Column(
                "is_pinned", sa.Boolean(), nullable=False, server_default=sa.false()
            )
        )

    with op.batch_alter_table("trip", schema=None) as batch_op:
        batch_op.add_column(sa.Column("rain_48h_mm", sa.Double(), nullable=True))
        batch_op.add_column(sa.Column("start_place_id", sa.Uuid(), nullable=True))
        batch_op.add_column(sa.Column("end_place_id", sa.Uuid(), nullable=True))
        batch_op.add_column(sa.Column("meeting_place_id", sa.Uuid(), nullable=True))
        batch_op.add_column(sa.Column("earliest_start", sa.Text(), nullable=True))
        batch_op.add_column(
            sa.Column(
                "walking_rule", sa.Text(), nullable=False, server_default="DIN 33466"
            )
        )
        batch_op.add_column(
            sa.Column("pack_factor", sa.Double(), nullable=False, server_default="1.0")
        )
        batch_op.add_column(
            sa.Column("break_min", sa.Double(), nullable=False, server_default="0.0")
        )
        batch_op.add_column(sa.Column("wake", sa.Text(), nullable=True))
        batch_op.add_column(sa.Column("drive_out_min", sa.Double(), nullable=True))
        batch_op.add_column(sa.Column("drive_back_min", sa.Double(), nullable=True))
        batch_op.add_column(sa.Column("kit_up_min", sa.Double(), nullable=True))
        batch_op.add_column(
            sa.Column("car", sa.Text(), nullable=False, server_default="")
        )
        batch_op.add_column(
            sa.Column("alarm_with", sa.Text(), nullable=False, server_default="")
        )
        batch_op.add_column(
            sa.Column("kit", sa.Text(), nullable=False, server_default="")
        )
        batch_op.create_index(
            batch_op.f("ix_trip_end_place_id"), ["end_place_id"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_trip_meeting_place_id"), ["meeting_place_id"], unique=False
        )
        batch_op.create_index(
            batch_op.f("ix_trip_start_place_id"), ["start_place_id"], unique=False
        )
        batch_op.create_foreign_key(
            batch_op.f("fk_trip_meeting_place_id_start_place"),
            "start_place",
            ["meeting_place_id"],
            ["id"],
        )
        batch_op.create_foreign_key(
            batch_op.f("fk_trip_end_place_id_start_place"),
            "start_place",
            ["end_place_id"],
            ["id"],
        )
        batch_op.create_foreign_key(
            batch_op.f("fk_trip_start_place_id_start_place"),
            "start_place",
            ["start_place_id"],
            ["id"],
        )

    with op.batch_alter_table("vantage_point", schema=None) as batch_op:
        batch_op.add_column(sa.Column("seaward_deg", sa.Double(), nullable=True))
        batch_op.add_column(sa.Column("coverage", sa.Text(), nullable=True))

    # What is kept gets a value, which is no default of the table afterwards.
    with op.batch_alter_table("location", schema=None) as batch_op:
        batch_op.alter_column("emergency", server_default=None)
        batch_op.alter_column("nearest_road", server_default=None)
    with op.batch_alter_table("stop", schema=None) as batch_op:
        batch_op.alter_column("conditions", server_default=None)
        batch_op.alter_column("is_must", server_default=None)
        batch_op.alter_column("least_min", server_default=None)
        batch_op.alter_column("wish_min", server_default=None)
        batch_op.alter_column("setup_min", server_default=None)
        batch_op.alter_column("is_pinned", server_default=None)
    with op.batch_alter_table("trip", schema=None) as batch_op:
        batch_op.alter_column("walking_rule", server_default=None)
        batch_op.alter_column("pack_factor", server_default=None)
        batch_op.alter_column("break_min", server_default=None)
        batch_op.alter_column("car", server_default=None)
        batch_op.alter_column("alarm_with", server_default=None)
        batch_op.alter_column("kit", server_default=None)
