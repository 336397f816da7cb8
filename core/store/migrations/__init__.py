"""The history of the tables: one numbered revision after another, run by Alembic."""
