"""First tables."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "draft",
        sa.Column("record_id", sa.Uuid(), nullable=False),
        sa.Column("field", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("record_id", "field", name=op.f("pk_draft")),
    )
    op.create_table(
        "location",
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("lat_deg", sa.Double(), nullable=False),
        sa.Column("lon_deg", sa.Double(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_location")),
    )
    op.create_table(
        "access_note",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("review_after", sa.Date(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_access_note_location_id_location"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_access_note")),
    )
    with op.batch_alter_table("access_note", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_access_note_location_id"), ["location_id"], unique=False
        )

    op.create_table(
        "access_route",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_access_route_location_id_location"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_access_route")),
    )
    with op.batch_alter_table("access_route", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_access_route_location_id"), ["location_id"], unique=False
        )

    op.create_table(
        "forecast",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("issued", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("hours", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_forecast_location_id_location"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_forecast")),
    )
    with op.batch_alter_table("forecast", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_forecast_location_id"), ["location_id"], unique=False
        )

    op.create_table(
        "hazard",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("shape", sa.Text(), nullable=False),
        sa.Column("line", sa.Text(), nullable=False),
        sa.Column("is_fenced", sa.Boolean(), nullable=True),
        sa.Column("is_soft", sa.Boolean(), nullable=True),
        sa.Column("height_m", sa.Double(), nullable=True),
        sa.Column("applies", sa.Text(), nullable=False),
        sa.Column("last_confirmed", sa.Date(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_hazard_location_id_location"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_hazard")),
    )
    with op.batch_alter_table("hazard", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_hazard_location_id"), ["location_id"], unique=False
        )

    op.create_table(
        "refuge",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("lat_deg", sa.Double(), nullable=False),
        sa.Column("lon_deg", sa.Double(), nullable=False),
        sa.Column("stays_dry", sa.Boolean(), nullable=True),
        sa.Column("confirmed", sa.Date(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_refuge_location_id_location"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_refuge")),
    )
    with op.batch_alter_table("refuge", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_refuge_location_id"), ["location_id"], unique=False
        )

    op.create_table(
        "subject",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("lat_deg", sa.Double(), nullable=False),
        sa.Column("lon_deg", sa.Double(), nullable=False),
        sa.Column("height_m", sa.Double(), nullable=True),
        sa.Column("ground_m", sa.Double(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_subject_location_id_location"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_subject")),
    )
    with op.batch_alter_table("subject", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_subject_location_id"), ["location_id"], unique=False
        )

    op.create_table(
        "tide_table",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("port", sa.Text(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("datum", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("turns", sa.Text(), nullable=False),
        sa.Column("exposure", sa.Text(), nullable=True),
        sa.Column("is_distorted", sa.Boolean(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_tide_table_location_id_location"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tide_table")),
    )
    with op.batch_alter_table("tide_table", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_tide_table_location_id"), ["location_id"], unique=False
        )

    op.create_table(
        "trip",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("latest_return", sa.Text(), nullable=True),
        sa.Column("raise_alarm", sa.Text(), nullable=True),
        sa.Column("party", sa.Integer(), nullable=False),
        sa.Column("lights", sa.Integer(), nullable=True),
        sa.Column("contact", sa.Text(), nullable=False),
        sa.Column("emergency", sa.Text(), nullable=False),
        sa.Column("pace_factor", sa.Double(), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"], ["location.id"], name=op.f("fk_trip_location_id_location")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_trip")),
    )
    with op.batch_alter_table("trip", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_trip_location_id"), ["location_id"], unique=False
        )

    op.create_table(
        "vantage_point",
        sa.Column("location_id", sa.Uuid(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("lat_deg", sa.Double(), nullable=False),
        sa.Column("lon_deg", sa.Double(), nullable=False),
        sa.Column("position_error_m", sa.Double(), nullable=True),
        sa.Column("ground_m", sa.Double(), nullable=True),
        sa.Column("eye_height_m", sa.Double(), nullable=False),
        sa.Column("on_headland", sa.Boolean(), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["location_id"],
            ["location.id"],
            name=op.f("fk_vantage_point_location_id_location"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_vantage_point")),
    )
    with op.batch_alter_table("vantage_point", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_vantage_point_location_id"), ["location_id"], unique=False
        )

    op.create_table(
        "check_run",
        sa.Column("trip_id", sa.Uuid(), nullable=False),
        sa.Column("at", sa.Text(), nullable=False),
        sa.Column("overall", sa.Text(), nullable=False),
        sa.Column("findings", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["trip_id"], ["trip.id"], name=op.f("fk_check_run_trip_id_trip")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_check_run")),
    )
    with op.batch_alter_table("check_run", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_check_run_trip_id"), ["trip_id"], unique=False
        )

    op.create_table(
        "leg",
        sa.Column("route_id", sa.Uuid(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("line", sa.Text(), nullable=False),
        sa.Column("distance_m", sa.Double(), nullable=True),
        sa.Column("ascent_m", sa.Double(), nullable=True),
        sa.Column("descent_m", sa.Double(), nullable=True),
        sa.Column("ground", sa.Text(), nullable=False),
        sa.Column("is_exposed", sa.Boolean(), nullable=True),
        sa.Column("daylight_only", sa.Boolean(), nullable=True),
        sa.Column("walked_in_daylight", sa.Boolean(), nullable=True),
        sa.Column("is_tidal", sa.Boolean(), nullable=True),
        sa.Column("shut_above_m", sa.Double(), nullable=True),
        sa.Column("shut_datum", sa.Text(), nullable=False),
        sa.Column("refuge_id", sa.Uuid(), nullable=True),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["refuge_id"], ["refuge.id"], name=op.f("fk_leg_refuge_id_refuge")
        ),
        sa.ForeignKeyConstraint(
            ["route_id"], ["access_route.id"], name=op.f("fk_leg_route_id_access_route")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_leg")),
    )
    with op.batch_alter_table("leg", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_leg_refuge_id"), ["refuge_id"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_leg_route_id"), ["route_id"], unique=False)

    op.create_table(
        "stop",
        sa.Column("trip_id", sa.Uuid(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("vantage_point_id", sa.Uuid(), nullable=False),
        sa.Column("arrive", sa.Text(), nullable=False),
        sa.Column("leave", sa.Text(), nullable=False),
        sa.Column("subject_id", sa.Uuid(), nullable=True),
        sa.Column("wanted", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["subject_id"], ["subject.id"], name=op.f("fk_stop_subject_id_subject")
        ),
        sa.ForeignKeyConstraint(
            ["trip_id"], ["trip.id"], name=op.f("fk_stop_trip_id_trip")
        ),
        sa.ForeignKeyConstraint(
            ["vantage_point_id"],
            ["vantage_point.id"],
            name=op.f("fk_stop_vantage_point_id_vantage_point"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stop")),
    )
    with op.batch_alter_table("stop", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_stop_subject_id"), ["subject_id"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_stop_trip_id"), ["trip_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_stop_vantage_point_id"), ["vantage_point_id"], unique=False
        )

    op.create_table(
        "tick",
        sa.Column("trip_id", sa.Uuid(), nullable=False),
        sa.Column("item", sa.Text(), nullable=False),
        sa.Column("at", sa.Text(), nullable=False),
        sa.Column("by", sa.Text(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["trip_id"], ["trip.id"], name=op.f("fk_tick_trip_id_trip")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tick")),
    )
    with op.batch_alter_table("tick", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_tick_trip_id"), ["trip_id"], unique=False)

    op.create_table(
        "walk",
        sa.Column("trip_id", sa.Uuid(), nullable=False),
        sa.Column("leg_id", sa.Uuid(), nullable=False),
        sa.Column("start", sa.Text(), nullable=False),
        sa.Column("finish", sa.Text(), nullable=False),
        sa.Column("is_reversed", sa.Boolean(), nullable=False),
        sa.Column("id", sa.Uuid(), nullable=False),
        sa.ForeignKeyConstraint(
            ["leg_id"], ["leg.id"], name=op.f("fk_walk_leg_id_leg")
        ),
        sa.ForeignKeyConstraint(
            ["trip_id"], ["trip.id"], name=op.f("fk_walk_trip_id_trip")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_walk")),
    )
    with op.batch_alter_table("walk", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_walk_leg_id"), ["leg_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_walk_trip_id"), ["trip_id"], unique=False)
