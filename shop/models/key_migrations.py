"""What migrations share that give a table its search keys."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from shop.values.search_keys import KeyKind, key_of

BATCH = 1000


#: A text of a row: the name of its column, or a function of the row.
Text = str | Callable[[Any], str]
Tables = Mapping[str, Mapping[Any, KeyKind]]


def _text(row: Any, text: Text) -> str:
    return str((text(row) if callable(text) else getattr(row, text)) or "")


def backfill(app: str, tables: Tables) -> Callable[[Any, Any], None]:
    """Give every row its key from its texts, each with how it is looked for."""

    def run(apps: Any, schema_editor: Any) -> None:
        for name, texts in tables.items():
            rows = apps.get_model(app, name)._base_manager.using(schema_editor.connection.alias)
            changed = []
            for row in rows.iterator(chunk_size=BATCH):
                row.search_key = key_of((kind, _text(row, text)) for text, kind in texts.items())
                changed.append(row)
                if len(changed) == BATCH:
                    rows.bulk_update(changed, ["search_key"])
                    changed = []
            rows.bulk_update(changed, ["search_key"])

    return run


def index_name(app: str, table: str) -> str:
    return f"{app}_{table.lower()}_found"


def add_indexes(app: str, tables: Mapping[str, Any]) -> Callable[[Any, Any], None]:
    """A trigram index on each key, on PostgreSQL: it serves LIKE with a piece of any place.

    Rows are written one by one and read all the time, so no writes wait beside the index.
    """

    def run(apps: Any, schema_editor: Any) -> None:
        if schema_editor.connection.vendor != "postgresql":
            return
        # The rows that were filled just now have checks of foreign keys waiting.
        schema_editor.execute("SET CONSTRAINTS ALL IMMEDIATE")
        for name in tables:
            table = apps.get_model(app, name)._meta.db_table
            schema_editor.execute(
                f"CREATE INDEX {index_name(app, name)} ON {table}"
                " USING gin (search_key gin_trgm_ops) WITH (fastupdate = off)"
            )

    return run


def drop_indexes(app: str, tables: Mapping[str, Any]) -> Callable[[Any, Any], None]:
    def run(apps: Any, schema_editor: Any) -> None:
        if schema_editor.connection.vendor == "postgresql":
            for name in tables:
                schema_editor.execute(f"DROP INDEX IF EXISTS {index_name(app, name)}")

    return run
