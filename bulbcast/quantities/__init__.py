"""Builders' quantities, converted from text with a unit to SI and shown again in a builder's units. This package imports
nothing else from the program.

All input passes through `read_quantity` and all output through `Shown`; both use the table in `units.py`.
"""

from bulbcast.quantities.errors import LONGEST_TEXT, QuantityError, joined, quoted
from bulbcast.quantities.figures import alike, give_or_take, in_one_unit, worded
from bulbcast.quantities.reading import read_quantity, read_quantity_of
from bulbcast.quantities.showing import DisplayUnits, Shown
from bulbcast.quantities.units import UNITS, WORDS, Dimension, DimensionWords, Unit

__all__ = [
    "LONGEST_TEXT",
    "UNITS",
    "WORDS",
    "Dimension",
    "DimensionWords",
    "DisplayUnits",
    "QuantityError",
    "Shown",
    "Unit",
    "alike",
    "give_or_take",
    "in_one_unit",
    "joined",
    "quoted",
    "read_quantity",
    "read_quantity_of",
    "worded",
]
