"""Builders' quantities, read from a text with its unit into SI and shown again in a builder's units. Imports no other
room.

`read_quantity` is the only way in, `Shown` the only way out; `units.py` holds the table both use.
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
