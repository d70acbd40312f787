"""What each file of a workshop may hold, declared once for the reader, the schemas and the pages."""

from __future__ import annotations

from flatstock.workshop.fields import Layout
from flatstock.workshop.layouts.others import OUTLAY, ROOM, SUPPLY
from flatstock.workshop.layouts.plastics import PLASTICS
from flatstock.workshop.layouts.shop import SHOP
from flatstock.workshop.layouts.stock import LOTS, OFFCUTS, ORDERS

__all__ = ["ALL", "LOTS", "OFFCUTS", "ORDERS", "OUTLAY", "PLASTICS", "ROOM", "SHOP", "SUPPLY"]

ALL: tuple[Layout, ...] = (SHOP, PLASTICS, LOTS, ORDERS, OFFCUTS, SUPPLY, ROOM, OUTLAY)
