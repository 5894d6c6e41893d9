"""Every change of the schema, in order; `upgrade` brings a database up to the newest."""

from service.store.migrations.upgrade import NEWEST, upgrade

__all__ = ["NEWEST", "upgrade"]
