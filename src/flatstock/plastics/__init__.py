"""What each plastic is like, with the source of every number, and what may never be pressed."""

from flatstock.plastics.library import Shelf, find, library
from flatstock.plastics.model import MeltVolume, Plastic, Process, Thermal

__all__ = ["MeltVolume", "Plastic", "Process", "Shelf", "Thermal", "find", "library"]
