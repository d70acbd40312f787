"""The lists of a new workshop: a header that explains itself, and one example to be written over."""

from __future__ import annotations

from math import ceil

from flatstock.units import from_si
from flatstock.workshop.files import EXAMPLE
from flatstock.workshop.start_answers import StartAnswers
from flatstock.workshop.start_lines import figures

__all__ = ["PLASTICS", "lots_text", "orders_text"]

_THICKNESS = 0.006  # [m]: of the example where there is no frame yet
_DENSITY = 1000.0  # [kg/m3]: no charge of the plastics that get a card weighs more, by its sheet

PLASTICS = """\
# Your own values of plastics. Each goes before the library's and is shown as yours. docs/files/plastics.md
# lists every field. Take the # away from a line to use it.

format = "flatstock.plastics/1"                         # names this kind of file

# [hdpe]                                                # the plastic; `flatstock read` lists those on file
# set_point_C = 195                                     # of the platens
# shrinkage_percent = [2.0, 2.2, 2.5]                   # measured on three sheets of yours: low, typical, high
# melt_k_W_mK = 0.25                                    # heat conductivity of the melt, fitted to a trial
"""


def lots_text(a: StartAnswers) -> str:
    """lots.csv."""
    us = a.units == "us"
    kg = 10 * ceil(
        0.4 * a.cavity_length * a.cavity_width * max(a.frame_thicknesses, default=_THICKNESS) * _DENSITY
    )
    mass = figures(10 * round(from_si(kg, "mass", "lb") / 10) if us else kg)
    return f"""\
# Your lots of flake, one a line under the header; docs/files/lots.md lists every column.
# Lines that start with # are left out.
# status: received, quarantine, released, blocked or empty; only released lots are pressed.
# strangers: other plastics in the lot, as in: pp 2 %; pet 0.5 %
# {EXAMPLE} is not there: it shows how a line is written, and gives the week plan something to plan. Write your
# own lots in its place.
id,plastic,form,colour,mass_{"lb" if us else "kg"},status,origin,mfr_g_10min,moisture_percent,\
bulk_density_{"lb_ft3" if us else "kg_m3"},strangers,note
{EXAMPLE},hdpe,caps,,{mass},released,packaging,,,,,an example: no such lot is there
"""


def orders_text(a: StartAnswers) -> str:
    """orders.csv."""
    us = a.units == "us"
    thickness = figures(from_si((*a.frame_thicknesses, _THICKNESS)[0], "length", "in" if us else "mm"))
    return f"""\
# Your orders, one a line under the header; docs/files/orders.md lists every column.
# Lines that start with # are left out.
# due: by the shop's clock, as in 2026-03-06T12:00. lots: as in L-1 90 %; L-2 10 %
# {EXAMPLE}: nobody has asked for it. Write your own orders in its place.
id,what,plastic,colour,thickness_{"in" if us else "mm"},sheets,due,condition_h,lots,note
{EXAMPLE},two sheets,hdpe,,{thickness},2,,,,an example: nobody has asked for it
"""
