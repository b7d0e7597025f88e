"""What people carry and lift, hot or cold: the limits of handling, each with its source. All in kg."""

from __future__ import annotations

# Handling of hot metal and of pieces: common practice, no source; the first figure is what one
# person carries at arm's length, as manual handling guidance puts it too.
CHARGE_NOT_CARRIED = 10.0
CHARGE_FOR_TWO = 50.0
CHARGE_FOR_A_FOUNDRY = 150.0

# Cold pieces, casting and mould alike. Beyond the first several people lift, or a hoist: HSE, INDG143, guideline figure
# for a man who holds the load close at the height of the waist (16 kg for a woman), from memory. Beyond the second a
# person alone does not lift it off the floor: NIOSH publication 94-110, 23 kg x (0.25 m / 0.30 m) x 0.775 x 0.88 x 0.90
# for hands 30 cm out, from the floor, up by 75 cm, poor grip, to the whole kilogram.
PIECE_TO_BE_HOISTED = 25.0
LIFTED_ALONE = 12.0
