"""[mould] and [resin] as read: SI and frozen; None where a key was not given and has no fixed default."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

MouldMaterial = Literal["plaster", "sand"]
MouldKind = Literal["closed", "open-halves"]
Orientation = Literal["lying", "on-edge", "nose-up", "tail-up"]
Split = Literal["upper-lower", "port-starboard"]
Drying = Literal["air", "baked"]
SandKind = Literal["oil-bonded", "dried"]
CoreMaterial = Literal["plaster", "steel", "sand"]


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldSection:
    """[mould]: lengths m, masses kg, temperatures degC, shares as fractions, `bucket` m3.

    `orientation` says how the mould stands when it is poured, `split` along which plane of the bulb it parts.
    `consistency` is parts of water to 100 of plaster. What belongs to plaster is None in a sand mould, and the
    other way round; `wall`, `floor` and `cover` None: by the mass of the piece.
    """

    material: MouldMaterial
    kind: MouldKind
    orientation: Orientation
    split: Split | None
    wall: float | None
    floor: float | None
    cover: float | None
    foundry_from: float
    core: CoreMaterial | None
    consistency: float | None
    purity: float | None
    purity_spread: float | None
    sand: float | None
    spare: float | None
    bucket: float | None
    reinforcement: float | None
    drying: Drying | None
    oven: float | None
    scale_spread: float | None
    accept_bound_water: str | None
    sand_kind: SandKind | None
    sand_moisture: float | None
    cured_at: float | None
    cured_for: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ResinSection:
    """[resin]: lead shot in resin in place of molten lead. Densities kg/m3, `heat` J/kg, times s,
    temperatures degC, speed m/s.

    `packing` is the share of the volume that the shot fills, `packing_spread` its standard deviation.
    """

    packing: float
    packing_spread: float
    shot_density: float
    resin_density: float
    spare: float
    heat: float
    cure_time: float
    room: float
    highest_temperature: float
    speed: float
