"""What each plastic is like, with the source of every number, and what may never be pressed."""

from flatstock.plastics.library import Shelf, library
from flatstock.plastics.model import MeltVolume, Plastic, Process, Thermal
from flatstock.plastics.naming import find
from flatstock.plastics.overrides import override_faults, with_overrides
from flatstock.plastics.pairs import PairRule, pair
from flatstock.plastics.viscosity import ViscosityModel

__all__ = [
    "MeltVolume",
    "PairRule",
    "Plastic",
    "Process",
    "Shelf",
    "Thermal",
    "ViscosityModel",
    "find",
    "library",
    "override_faults",
    "pair",
    "with_overrides",
]
