"""The tables of the store. Events and what stands beside the chain; projections can be made anew.

The migrations make them (``migrations/versions``); a test holds both together.
"""

import sqlalchemy as sa

from passport.records.exact_text import ExactText

SCHEMA = sa.MetaData()
HEAD_REVISION = "0006"

events = sa.Table(
    "events",
    SCHEMA,
    sa.Column("seq", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("at", sa.Text, nullable=False),  # UTC
    sa.Column("kind", sa.Text, nullable=False),
    sa.Column("subject", ExactText, nullable=False),  # number of a table or a form
    sa.Column("body", sa.Text, nullable=False),  # canonical JSON
    sa.Column("previous", sa.Text, nullable=False, unique=True),  # so the chain can't fork
    sa.Column("hash", sa.Text, nullable=False, unique=True),
    sa.Index("events_subject", "subject", "seq"),
    sqlite_strict=True,
)

# Beside the chain: what a person may ask to have forgotten.
private_texts = sa.Table(
    "private_texts",
    SCHEMA,
    sa.Column("hash", sa.Text, primary_key=True),
    sa.Column("salt", sa.LargeBinary, nullable=False),
    sa.Column("text", ExactText, nullable=False),
    sqlite_strict=True,
)

care_tokens = sa.Table(
    "care_tokens",
    SCHEMA,
    sa.Column("table_number", sa.Text, primary_key=True),
    sa.Column("token", sa.Text, nullable=False, unique=True),
    sa.Column("salt", sa.LargeBinary, nullable=False),
    sa.Column("hash", sa.Text, nullable=False, unique=True),
    sqlite_strict=True,
)

# Photos and cut-outs of offices that share a database; those of one office stand in its home.
kept_files = sa.Table(
    "kept_files",
    SCHEMA,
    sa.Column("shelf", sa.Text, primary_key=True),  # photos, crops, or waiting to be read
    sa.Column("hash", sa.Text, primary_key=True),
    sa.Column("ending", sa.Text, nullable=False),
    sa.Column("kept_on", sa.Integer, nullable=False),  # days, as date.toordinal counts them
    sa.Column("content", sa.LargeBinary, nullable=False),
    sqlite_strict=True,
)

# Files that must go, from the moment their removal is recorded until they are gone.
files_to_remove = sa.Table(
    "files_to_remove",
    SCHEMA,
    sa.Column("path", sa.Text, primary_key=True),  # shelf and name
    sqlite_strict=True,
)

# When each table needs a visit, as the office reckoned it from the records up to ``changed``.
outlooks = sa.Table(
    "outlooks",
    SCHEMA,
    sa.Column("table_number", ExactText, primary_key=True),
    sa.Column("changed", sa.Integer, nullable=False),  # last event of the table or a form of it
    sa.Column("stale", sa.Integer, nullable=False, index=True),  # 1: to be reckoned anew
    sa.Column("rank", sa.Integer),  # 0 is the most urgent
    sa.Column("due_on", sa.Text),
    sa.Column("body", sa.Text),  # canonical JSON, the office's own
    sa.Column("reckoned_on", sa.Text, index=True),
    sa.Column("waits", sa.Integer),  # how much in the body waits for a person
    sa.Index("outlooks_due", "rank", "due_on", "table_number"),
    sa.Index(
        "outlooks_waiting",
        *("rank", "due_on", "table_number"),
        sqlite_where=sa.text("waits > 0"),
        postgresql_where=sa.text("waits > 0"),
    ),
    sqlite_strict=True,
)

# Projections.
tables = sa.Table(
    "tables",
    SCHEMA,
    sa.Column("number", sa.Text, primary_key=True),
    sa.Column("registered", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
    sa.Column("described", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
    sa.Column("name", ExactText, nullable=False),
    sa.Column("site", ExactText, nullable=False),
    sa.Column("folded", ExactText, nullable=False),  # all that a search looks at
    sa.Index("tables_named", "name", "site"),
    sqlite_strict=True,
)

# Which tables a measuring kit looks after: once each, and once for each part that was measured.
kits = sa.Table(
    "kits",
    SCHEMA,
    sa.Column("name", ExactText, primary_key=True),
    sa.Column("part", sa.Text, primary_key=True),  # empty, or one of ``projection.MEASURED``
    sa.Column("measured_on", ExactText, primary_key=True),
    sa.Column("table_number", ExactText, primary_key=True, index=True),
    sqlite_strict=True,
)

forms = sa.Table(
    "forms",
    SCHEMA,
    sa.Column("number", ExactText, primary_key=True),
    sa.Column("table_number", ExactText, nullable=False, index=True),
    sa.Column("kind", ExactText, nullable=False),
    sa.Column("state", sa.Text, nullable=False, index=True),
    sa.Column("printed_on", sa.Text),
    sa.Column("first_event", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
    sa.Column("changed", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
    sa.Column("pages", sa.Integer),  # how many must come in
    sa.Column("missing", sa.Text),  # which of them have not, as JSON
    sa.Index("forms_rounds", "printed_on", "state"),
    sqlite_strict=True,
)

# What each form came to, as the office reads it: any record of the form or its table removes it.
tellings = sa.Table(
    "tellings",
    SCHEMA,
    sa.Column("form", ExactText, primary_key=True),
    sa.Column("table_number", ExactText, nullable=False, index=True),
    sa.Column("stamp", sa.Text, nullable=False),  # of the program that read it
    sa.Column("body", sa.LargeBinary, nullable=False),
    sqlite_strict=True,
)

# How each table stands after all its visits, as the office reckons it: see ``tellings``.
standings = sa.Table(
    "standings",
    SCHEMA,
    sa.Column("table_number", ExactText, primary_key=True),
    sa.Column("stamp", sa.Text, nullable=False),  # of the program that reckoned it
    sa.Column("body", sa.LargeBinary, nullable=False),
    sqlite_strict=True,
)

# Tables that name a build, and what each teaches of it, as the office reckons it: see ``tellings``.
lessons = sa.Table(
    "lessons",
    SCHEMA,
    sa.Column("table_number", ExactText, primary_key=True),
    sa.Column("build", ExactText, nullable=False, index=True),
    sa.Column("stamp", sa.Text),  # of the program that reckoned it
    sa.Column("body", sa.LargeBinary),  # none while it is to be reckoned
    sqlite_strict=True,
)

page_photos = sa.Table(
    "page_photos",
    SCHEMA,
    sa.Column("sha256", sa.Text, primary_key=True),
    sa.Column("position", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("form", ExactText, primary_key=True, index=True),
    sa.Column("page", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("left_out", sa.Integer, nullable=False),
    sa.Column("kept", sa.Text, nullable=False, index=True),  # hash of the file on the shelf
    sa.Column("forgotten", sa.Integer, nullable=False),
    sqlite_strict=True,
)

open_doubts = sa.Table(
    "open_doubts",
    SCHEMA,
    sa.Column("form", ExactText, primary_key=True),
    sa.Column("field", ExactText, primary_key=True),
    sa.Column("table_number", ExactText, nullable=False),
    sa.Column("page", sa.Integer, nullable=False),
    sa.Column("reading", sa.Text, nullable=False),  # canonical JSON
    sqlite_strict=True,
)

closed_actions = sa.Table(
    "closed_actions",
    SCHEMA,
    sa.Column("table_number", sa.Text, primary_key=True),
    sa.Column("action", ExactText, primary_key=True),
    sa.Column("result", sa.Text, nullable=False),
    sa.Column("closed", sa.Integer, sa.ForeignKey("events.seq"), nullable=False),
    sqlite_strict=True,
)

PROJECTIONS = (
    lessons, standings, tellings, closed_actions, open_doubts, page_photos, kits, forms, tables,
)  # fmt: skip
