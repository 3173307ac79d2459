"""Run by the migration library: on the connection it is handed, in that connection's transaction."""

from alembic import context

from chalkpoint.records.schema import Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    render_as_batch=True,
)
context.run_migrations()
