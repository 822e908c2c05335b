"""Jobs kept as templates, version by version."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op


def create() -> None:
    """Make the tables with their indexes."""
    op.create_table(
        "job_templates",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("retired_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_job_templates_name_not_blank")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_job_templates_action_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job_templates")),
        sa.UniqueConstraint("name", name=op.f("uq_job_templates_name")),
    )
    op.create_table(
        "template_versions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("action_id", sa.Integer(), nullable=False),
        sa.Column("template_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("note", sa.String(length=2000), nullable=False),
        sa.CheckConstraint("number > 0", name=op.f("ck_template_versions_number_positive")),
        sa.ForeignKeyConstraint(["action_id"], ["actions.id"], name=op.f("fk_template_versions_action_id")),
        sa.ForeignKeyConstraint(["template_id"], ["job_templates.id"], name=op.f("fk_template_versions_template_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_template_versions")),
        sa.UniqueConstraint("template_id", "number", name=op.f("uq_template_versions_template_id_number")),
    )
    op.create_table(
        "template_needs",
        sa.Column("version_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("place", sa.String(length=200), nullable=False),
        sa.Column("spec", sa.String(length=4000), nullable=False),
        sa.CheckConstraint("length(spec) > 0", name=op.f("ck_template_needs_spec_not_blank")),
        sa.ForeignKeyConstraint(["version_id"], ["template_versions.id"], name=op.f("fk_template_needs_version_id")),
        sa.PrimaryKeyConstraint("version_id", "position", name=op.f("pk_template_needs")),
    )
