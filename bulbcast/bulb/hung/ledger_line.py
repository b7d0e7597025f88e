"""One line of the hung mass."""

from __future__ import annotations

from dataclasses import dataclass

from bulbcast.bulb.body.pieces import Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerLine:
    """One line of the hung mass.

    Attributes:
        name: What it is, in the trade's words.
        kind: "lead", "screw", "washer", "pin", "stud", "plug", "bedding" or "skin".
        piece: Volume and moments; negative for what is cut away. [m3], [m4]
        density: [kg/m3]
    """

    name: str
    kind: str
    piece: Piece
    density: float

    @property
    def mass(self) -> float:
        """[kg]"""
        return self.density * self.piece.volume
