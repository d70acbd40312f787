"""Every table, for the migrations: importing a table is what puts it into `metadata`."""

from flatstock.records.tables import events, metadata, sheets, stock

__all__ = ["events", "metadata", "sheets", "stock"]
