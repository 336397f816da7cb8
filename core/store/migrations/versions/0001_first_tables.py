"""The first tables: people and places, plants and their journal, messages in and out."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from core.store.migrations.columns import moment

revision = "0001"
down_revision = None


def upgrade() -> None:
    _people()
    _places()
    _invites()
    _plants()
    _messages_in()
    _journal()
    _dialogues()
    _messages_out()
    _photos()
    _weather()


def downgrade() -> None:
    for table in (
        "sensor",
        "forecast",
        "photo",
        "outbox",
        "dialogue",
        "mark",
        "event",
        "inbox",
        "bookmark",
        "plant",
        "guess",
        "invite",
        "chat",
        "membership",
        "identity",
        "person",
        "household",
    ):
        op.drop_table(table)


def _people() -> None:
    op.create_table(
        "household",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.Column("settings", sa.Text(), nullable=False),
        sa.Column("drying", sa.Text(), nullable=False),
        sa.Column("home_chat_id", sa.Integer(), nullable=True),
        sa.Column("created_at", moment(), nullable=False),
        sa.Column("round_at", moment(), nullable=True),
        sa.Column("round_rule", sa.String(), nullable=True),
        sa.Column("area", sa.String(), nullable=True),
        sa.Column("area_for", sa.String(), nullable=True),
        sa.Column("watch_at", moment(), nullable=True),
        sa.Column("forget_at", moment(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_household"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_household_round_due", "household", ["round_at"])
    op.create_index("ix_household_area", "household", ["area_for", "area"])
    op.create_index("ix_household_watch_due", "household", ["watch_at"])
    op.create_index("ix_household_forget_due", "household", ["forget_at"])
    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("created_at", moment(), nullable=False),
        sa.Column("left_at", moment(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_person"),
    )
    op.create_table(
        "identity",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("network", sa.String(), nullable=False),
        sa.Column("account", sa.String(), nullable=False),
        sa.Column("address", sa.String(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_identity"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_identity_person_id_person"),
        sa.UniqueConstraint(
            "network", "account", "address", name="uq_identity_network_account_address"
        ),
    )
    op.create_index("ix_identity_person_id", "identity", ["person_id"])


def _places() -> None:
    op.create_table(
        "membership",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("household_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("since", moment(), nullable=False),
        sa.Column("until", moment(), nullable=True),
        sa.Column("asked", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_membership"),
        sa.ForeignKeyConstraint(
            ["household_id"], ["household.id"], name="fk_membership_household_id_household"
        ),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name="fk_membership_person_id_person"
        ),
        sa.UniqueConstraint(
            "household_id", "person_id", name="uq_membership_household_id_person_id"
        ),
    )
    op.create_index("ix_membership_household_id", "membership", ["household_id"])
    op.create_index("ix_membership_person_id", "membership", ["person_id"])
    op.create_table(
        "chat",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("network", sa.String(), nullable=False),
        sa.Column("account", sa.String(), nullable=False),
        sa.Column("address", sa.String(), nullable=False),
        sa.Column("direct", sa.Boolean(), nullable=False),
        sa.Column("household_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("gone_at", moment(), nullable=True),
        sa.Column("created_at", moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_chat"),
        sa.ForeignKeyConstraint(
            ["household_id"], ["household.id"], name="fk_chat_household_id_household"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_chat_person_id_person"),
        sa.UniqueConstraint(
            "network", "account", "address", name="uq_chat_network_account_address"
        ),
    )
    op.create_index("ix_chat_household_id", "chat", ["household_id"])
    op.create_index("ix_chat_person_id", "chat", ["person_id"])


def _invites() -> None:
    op.create_table(
        "invite",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("household_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("since", moment(), nullable=True),
        sa.Column("until", moment(), nullable=True),
        sa.Column("expires_at", moment(), nullable=False),
        sa.Column("used_at", moment(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_invite"),
        sa.ForeignKeyConstraint(
            ["household_id"], ["household.id"], name="fk_invite_household_id_household"
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_invite_person_id_person"),
        sa.UniqueConstraint("digest", name="uq_invite_digest"),
    )
    op.create_index("ix_invite_household_id", "invite", ["household_id"])
    op.create_table(
        "guess",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sender", sa.String(), nullable=False),
        sa.Column("household_id", sa.Integer(), nullable=False),
        sa.Column("at", moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_guess"),
        sa.ForeignKeyConstraint(
            ["household_id"], ["household.id"], name="fk_guess_household_id_household"
        ),
    )
    op.create_index("ix_guess_sender", "guess", ["sender", "at"])
    op.create_index("ix_guess_household", "guess", ["household_id", "at"])


def _plants() -> None:
    op.create_table(
        "plant",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("household_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("name_key", sa.String(), nullable=False),
        sa.Column("room", sa.String(), nullable=False),
        sa.Column("probe_at", moment(), nullable=True),
        sa.Column("left_at", moment(), nullable=True),
        sa.Column("state", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_plant"),
        sa.ForeignKeyConstraint(
            ["household_id"], ["household.id"], name="fk_plant_household_id_household"
        ),
    )
    op.create_index("ix_plant_household_left", "plant", ["household_id", "left_at"])
    op.create_index("ix_plant_probe_due", "plant", ["probe_at"])
    op.create_index(
        "uq_plant_living_name",
        "plant",
        ["household_id", "name_key"],
        unique=True,
        sqlite_where=sa.text("left_at IS NULL"),
        postgresql_where=sa.text("left_at IS NULL"),
    )


def _messages_in() -> None:
    op.create_table(
        "inbox",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("network", sa.String(), nullable=False),
        sa.Column("account", sa.String(), nullable=False),
        sa.Column("chat", sa.String(), nullable=False),
        sa.Column("message", sa.String(), nullable=False),
        sa.Column("edit", sa.BigInteger(), nullable=False),
        sa.Column("payload", sa.Text(), nullable=False),
        sa.Column("told_at", moment(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_inbox"),
        sa.UniqueConstraint(
            "network",
            "account",
            "chat",
            "message",
            "edit",
            name="uq_inbox_network_account_chat_message_edit",
        ),
    )
    op.create_index("ix_inbox_open", "inbox", ["state", "id"])
    op.create_table(
        "bookmark",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("network", sa.String(), nullable=False),
        sa.Column("account", sa.String(), nullable=False),
        sa.Column("device", sa.String(), nullable=False),
        sa.Column("token", sa.Text(), nullable=False),
        sa.Column("kept", sa.Text(), nullable=False),
        sa.Column("set_at", moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_bookmark"),
        sa.UniqueConstraint(
            "network", "account", "device", name="uq_bookmark_network_account_device"
        ),
    )


def _journal() -> None:
    op.create_table(
        "event",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("household_id", sa.Integer(), nullable=False),
        sa.Column("plant_id", sa.Integer(), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("happened_at", moment(), nullable=False),
        sa.Column("told_at", moment(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("inbox_id", sa.Integer(), nullable=True),
        sa.Column("ordinal", sa.Integer(), nullable=False),
        sa.Column("undone_by", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_event"),
        sa.ForeignKeyConstraint(
            ["household_id"], ["household.id"], name="fk_event_household_id_household"
        ),
        sa.ForeignKeyConstraint(["plant_id"], ["plant.id"], name="fk_event_plant_id_plant"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_event_person_id_person"),
        sa.ForeignKeyConstraint(["inbox_id"], ["inbox.id"], name="fk_event_inbox_id_inbox"),
        sa.ForeignKeyConstraint(["undone_by"], ["event.id"], name="fk_event_undone_by_event"),
        sa.UniqueConstraint("inbox_id", "ordinal", name="uq_event_inbox_id_ordinal"),
    )
    op.create_index("ix_event_plant_order", "event", ["plant_id", "happened_at", "id"])
    op.create_index("ix_event_household_id", "event", ["household_id", "id"])
    op.create_table(
        "mark",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("household_id", sa.Integer(), nullable=False),
        sa.Column("happened_at", moment(), nullable=False),
        sa.Column("event_id", sa.Integer(), nullable=False),
        sa.Column("rules", sa.String(), nullable=False),
        sa.Column("common", sa.Text(), nullable=False),
        sa.Column("plants", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_mark"),
        sa.ForeignKeyConstraint(
            ["household_id"], ["household.id"], name="fk_mark_household_id_household"
        ),
        sa.ForeignKeyConstraint(["event_id"], ["event.id"], name="fk_mark_event_id_event"),
        sa.UniqueConstraint(
            "household_id",
            "happened_at",
            "event_id",
            name="uq_mark_household_id_happened_at_event_id",
        ),
    )


def _dialogues() -> None:
    op.create_table(
        "dialogue",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("household_id", sa.Integer(), nullable=False),
        sa.Column("chat_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("plant_id", sa.Integer(), nullable=True),
        sa.Column("thread", sa.String(), nullable=True),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("stage", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("options", sa.Text(), nullable=False),
        sa.Column("due_at", moment(), nullable=True),
        sa.Column("opened_at", moment(), nullable=False),
        sa.Column("closed_at", moment(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_dialogue"),
        sa.ForeignKeyConstraint(
            ["household_id"], ["household.id"], name="fk_dialogue_household_id_household"
        ),
        sa.ForeignKeyConstraint(["chat_id"], ["chat.id"], name="fk_dialogue_chat_id_chat"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_dialogue_person_id_person"),
        sa.ForeignKeyConstraint(["plant_id"], ["plant.id"], name="fk_dialogue_plant_id_plant"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_dialogue_due", "dialogue", ["closed_at", "due_at"])
    op.create_index("ix_dialogue_open", "dialogue", ["household_id", "closed_at", "subject"])


def _messages_out() -> None:
    op.create_table(
        "outbox",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("household_id", sa.Integer(), nullable=False),
        sa.Column("chat_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("occasion", sa.String(), nullable=False),
        sa.Column("topic", sa.String(), nullable=False),
        sa.Column("facts", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=True),
        sa.Column("inbox_id", sa.Integer(), nullable=True),
        sa.Column("due_at", moment(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("claimed_at", moment(), nullable=True),
        sa.Column("sent_at", moment(), nullable=True),
        sa.Column("said_as", sa.String(), nullable=True),
        sa.Column("posted", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_outbox"),
        sa.ForeignKeyConstraint(
            ["household_id"], ["household.id"], name="fk_outbox_household_id_household"
        ),
        sa.ForeignKeyConstraint(["chat_id"], ["chat.id"], name="fk_outbox_chat_id_chat"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_outbox_person_id_person"),
        sa.ForeignKeyConstraint(["inbox_id"], ["inbox.id"], name="fk_outbox_inbox_id_inbox"),
        sa.UniqueConstraint("chat_id", "kind", "occasion", name="uq_outbox_chat_id_kind_occasion"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_outbox_due", "outbox", ["state", "due_at", "id"])
    op.create_index(
        "ix_outbox_buttons",
        "outbox",
        ["chat_id"],
        sqlite_where=sa.text("said_as IS NOT NULL"),
        postgresql_where=sa.text("said_as IS NOT NULL"),
    )
    op.create_index(
        "ix_outbox_posted",
        "outbox",
        ["posted"],
        sqlite_where=sa.text("posted IS NOT NULL"),
        postgresql_where=sa.text("posted IS NOT NULL"),
    )


def _photos() -> None:
    op.create_table(
        "photo",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("household_id", sa.Integer(), nullable=False),
        sa.Column("chat_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("plant_id", sa.Integer(), nullable=True),
        sa.Column("inbox_id", sa.Integer(), nullable=True),
        sa.Column("album", sa.String(), nullable=False),
        sa.Column("thread", sa.String(), nullable=True),
        sa.Column("answers", sa.String(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("told_at", moment(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("due_at", moment(), nullable=True),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("ref", sa.Text(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_photo"),
        sa.ForeignKeyConstraint(
            ["household_id"], ["household.id"], name="fk_photo_household_id_household"
        ),
        sa.ForeignKeyConstraint(["chat_id"], ["chat.id"], name="fk_photo_chat_id_chat"),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_photo_person_id_person"),
        sa.ForeignKeyConstraint(["plant_id"], ["plant.id"], name="fk_photo_plant_id_plant"),
        sa.ForeignKeyConstraint(["inbox_id"], ["inbox.id"], name="fk_photo_inbox_id_inbox"),
        sa.UniqueConstraint("inbox_id", name="uq_photo_inbox_id"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_photo_due", "photo", ["state", "due_at"])
    op.create_index("ix_photo_household_state", "photo", ["household_id", "state"])


def _weather() -> None:
    op.create_table(
        "forecast",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("service", sa.String(), nullable=False),
        sa.Column("area", sa.String(), nullable=False),
        sa.Column("next_at", moment(), nullable=True),
        sa.Column("fetched_at", moment(), nullable=True),
        sa.Column("etag", sa.String(), nullable=True),
        sa.Column("modified", sa.String(), nullable=True),
        sa.Column("link", sa.String(), nullable=True),
        sa.Column("hours", sa.Text(), nullable=False),
        sa.Column("failures", sa.Integer(), nullable=False),
        sa.Column("trouble", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_forecast"),
        sa.UniqueConstraint("service", "area", name="uq_forecast_service_area"),
    )
    op.create_index("ix_forecast_due", "forecast", ["next_at"])
    op.create_table(
        "sensor",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("household_id", sa.Integer(), nullable=False),
        sa.Column("room", sa.String(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("created_at", moment(), nullable=False),
        sa.Column("heard_at", moment(), nullable=True),
        sa.Column("state", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_sensor"),
        sa.ForeignKeyConstraint(
            ["household_id"], ["household.id"], name="fk_sensor_household_id_household"
        ),
        sa.UniqueConstraint("digest", name="uq_sensor_digest"),
    )
    op.create_index("ix_sensor_household_id", "sensor", ["household_id"])
