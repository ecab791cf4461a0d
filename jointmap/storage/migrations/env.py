"""What Alembic runs: the steps, on the connection it is handed."""

from alembic import context

from jointmap.storage.schema import METADATA

context.configure(
    connection=context.config.attributes["connection"], target_metadata=METADATA
)
with context.begin_transaction():
    context.run_migrations()
