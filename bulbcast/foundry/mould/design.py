"""The mould: how it parts and stands, the blocks round the pattern, what they weigh, and the plaster to mix.

Axes of the mould as it stands when poured: x along its length, y across it, z up; the origin lies on the parting plane
where the pattern's nose meets it, or on the pattern's axis where the parting is upright. Blocks are plain boxes;
sprue, riser and vents are not taken out of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bulbcast.materials.plaster import PlasterMix, moulding_sand

WALL_SMALL, WALL_MIDDLE, WALL_LARGE = 0.030, 0.040, 0.085
"""Round the pattern: pieces below 10 kg, below 40 kg, and from there on. Common practice, no source: 25 to 40 mm for
models, 75 to 100 mm with mesh from 40 kg."""
MIDDLE_FROM, LARGE_FROM = 10.0, 40.0
FLOOR_TO_WALL = 1.25
"""A thin floor is what breaks through. Common practice, no source."""
BUCKET_FILL = 0.60
"""Of the bucket, so that the plaster can be sifted in and stirred. Common practice, no source."""
KEY_RADIUS_TO_WALL, LARGEST_KEY = 0.35, 0.020
"""Rounded keys of 10 to 20 mm across. Pottery practice."""

THERMAL = ("air-dried", "baked", "sand")


@dataclass(frozen=True, slots=True, kw_only=True)
class Margins:
    """Mould material round the pattern. [m]

    Attributes:
        ends: Beyond nose and tail.
        sides: Beside it.
        below: Under it as poured.
        above: Over it as poured; of an open half none.
    """

    ends: float
    sides: float
    below: float
    above: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockSize:
    """A block as it stands when poured. [m]

    Attributes:
        length: Along x.
        width: Along y.
        height: Along z, upwards.
    """

    length: float
    width: float
    height: float

    @property
    def volume(self) -> float:
        """[m3]"""
        return self.length * self.width * self.height


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """One bucketful, of which a part takes several. Masses kg, volume m3."""

    count: int
    plaster: float
    water: float
    sand: float
    volume: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldPart:
    """One part of the mould.

    Attributes:
        name: As it is called in the drying log: cope, drag, port, starboard, upper, lower or half.
        block: Its own box as it stands when poured.
        volume: Of mould material, cavity taken out. [m3]
        just_set: All water still in it, reinforcement included; of sand the mass rammed. [kg]
        dry_in_air: Free water gone. [kg]
        baked: Back to hemihydrate. [kg]
        over_baked: Below it the plaster is chalky. [kg]
        anhydrite: All water gone. [kg]
        batch: Plaster, water and sand by the bucket; None for sand.
    """

    name: str
    block: BlockSize
    volume: float
    just_set: float
    dry_in_air: float | None
    baked: float | None
    over_baked: float | None
    anhydrite: float | None
    batch: Batch | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RegistrationKey:
    """A rounded key on the parting plane.

    Attributes:
        along: From the pattern's nose, along the bulb. [m]
        across: From the bulb's axis, in the parting plane. [m]
        radius: [m]
    """

    along: float
    across: float
    radius: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldDesign:
    """The mould as planned.

    Attributes:
        material: Of the blocks.
        thermal: What it is at the pour: "air-dried", "baked" (also where drying is not said), "sand".
        drying: "air", "baked", or None where the plan does not say, and for sand.
        kind: Closed, two parts and one pour; or open halves, two pours.
        orientation: How it stands when poured.
        split: Along which plane of the bulb it parts.
        parting: Whether the parting plane lies level or stands upright as poured.
        bulb_axis: Whether the bulb's axis is level or upright as poured.
        pattern: Box of the coated pattern as poured, of an open half of half of it. [m]
        block: Box of the whole mould as poured; of open halves that of one.
        margins: [m]
        parts: Each part that is made.
        keys: On the parting plane; none for open halves.
        pours: How many times metal is poured.
        piece_mass: Cast mass of what is poured at once. [kg]
        cavity_volume: Of what is poured at once, cored cuts taken as solid. [m3]
        mix: Of the plaster; None for sand.
        core: What cored cuts are made of; None where nothing is cored.
        reinforcement: Steel in each part. [kg]
    """

    material: Literal["plaster", "sand"]
    thermal: Literal["air-dried", "baked", "sand"]
    drying: Literal["air", "baked"] | None
    kind: Literal["closed", "open-halves"]
    orientation: Literal["lying", "on-edge", "nose-up", "tail-up"]
    split: Literal["upper-lower", "port-starboard"]
    parting: Literal["horizontal", "vertical"]
    bulb_axis: Literal["level", "upright"]
    pattern: BlockSize
    block: BlockSize
    margins: Margins
    parts: tuple[MouldPart, ...]
    keys: tuple[RegistrationKey, ...]
    pours: int
    piece_mass: float
    cavity_volume: float
    mix: PlasterMix | None
    core: Literal["plaster", "steel", "sand"] | None
    reinforcement: float

    @property
    def material_volume(self) -> float:
        """Of all parts together. [m3]"""
        return math.fsum(part.volume for part in self.parts)

    def part(self, name: str) -> MouldPart:
        """The part of that name.

        Args:
            name: Such as "cope". [-]

        Returns:
            The part.

        Raises:
            KeyError: There is none.
        """
        for one in self.parts:
            if one.name == name:
                return one
        raise KeyError(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldWish:
    """What is asked of a mould. Lengths m, masses kg, volumes m3.

    Attributes:
        material: As `MouldDesign`.
        drying: As `MouldDesign`.
        kind: As `MouldDesign`.
        orientation: As `MouldDesign`; of open halves always lying.
        split: None: upper-lower, for open halves port-starboard.
        wall: None: by the mass of the piece.
        floor: None: by the wall.
        cover: None: as the wall.
        mix: Of plaster; None for sand.
        bucket: Its volume; None for sand.
        spare: Mixed beyond the block, over it; None for sand. [-]
        reinforcement: Steel cast into each part.
        core: What cored cuts are made of; None where nothing is cored.
    """

    material: Literal["plaster", "sand"]
    drying: Literal["air", "baked"] | None
    kind: Literal["closed", "open-halves"]
    orientation: Literal["lying", "on-edge", "nose-up", "tail-up"]
    split: Literal["upper-lower", "port-starboard"] | None
    wall: float | None
    floor: float | None
    cover: float | None
    mix: PlasterMix | None
    bucket: float | None
    spare: float | None
    reinforcement: float
    core: Literal["plaster", "steel", "sand"] | None


def default_wall(piece_mass: float) -> float:
    """Wall round the pattern where the plan gives none, by the mass poured at once.

    Args:
        piece_mass: Cast mass of one pour. [kg]

    Returns:
        [m]
    """
    if piece_mass < MIDDLE_FROM:
        return WALL_SMALL
    return WALL_MIDDLE if piece_mass < LARGE_FROM else WALL_LARGE


def mould_of(
    wish: MouldWish,
    *,
    length: float,
    width: float,
    height: float,
    volume: float,
    cast_mass: float,
    cored: bool,
) -> MouldDesign:
    """The mould round a coated pattern.

    Args:
        wish: What is asked.
        length: Of the coated pattern. [m]
        width: Athwartships. [m]
        height: Upright as the bulb hangs. [m]
        volume: Of the coated pattern, cored cuts taken as solid. [m3]
        cast_mass: Of the whole cast body. [kg]
        cored: Whether a cut is cored: open halves are then two moulds, mirror images of each other.

    Returns:
        The mould.
    """
    halves = wish.kind == "open-halves"
    split = wish.split or ("port-starboard" if halves else "upper-lower")
    upright_axis = not halves and wish.orientation in ("nose-up", "tail-up")
    level_parting = halves or wish.orientation == "lying"
    # Across the parting plane, and in it across the bulb's axis.
    through, across = (height, width) if split == "upper-lower" else (width, height)
    pours = 2 if halves else 1
    piece = cast_mass / pours
    wall = default_wall(piece) if wish.wall is None else wish.wall
    floor = FLOOR_TO_WALL * wall if wish.floor is None else wish.floor
    cover = 0.0 if halves else wall if wish.cover is None else wish.cover
    margins = Margins(ends=wall, sides=wall, below=floor, above=cover)
    if upright_axis:
        pattern = BlockSize(length=across, width=through, height=length)
        block = BlockSize(
            length=across + 2.0 * wall, width=through + 2.0 * wall, height=length + floor + cover
        )
    elif level_parting:
        deep = 0.5 * through if halves else through
        pattern = BlockSize(length=length, width=across, height=deep)
        block = BlockSize(length=length + 2.0 * wall, width=across + 2.0 * wall, height=deep + floor + cover)
    else:
        pattern = BlockSize(length=length, width=through, height=across)
        block = BlockSize(
            length=length + 2.0 * wall, width=through + 2.0 * wall, height=across + floor + cover
        )
    boxes = _parts(wish, split, halves, level_parting, cored, block, pattern, margins)
    parts = tuple(_part(wish, name, box, box.volume - 0.5 * volume) for name, box in boxes)
    thermal: Literal["air-dried", "baked", "sand"] = (
        "sand" if wish.material == "sand" else "air-dried" if wish.drying == "air" else "baked"
    )
    return MouldDesign(
        material=wish.material,
        thermal=thermal,
        drying=wish.drying,
        kind=wish.kind,
        orientation="lying" if halves else wish.orientation,
        split=split,
        parting="horizontal" if level_parting else "vertical",
        bulb_axis="upright" if upright_axis else "level",
        pattern=pattern,
        block=block,
        margins=margins,
        parts=parts,
        keys=() if halves else _keys(wall, length, across),
        pours=pours,
        piece_mass=piece,
        cavity_volume=volume / pours,
        mix=wish.mix,
        core=wish.core if cored else None,
        reinforcement=wish.reinforcement,
    )


def _parts(
    wish: MouldWish,
    split: str,
    halves: bool,
    level: bool,
    cored: bool,
    block: BlockSize,
    pattern: BlockSize,
    margins: Margins,
) -> tuple[tuple[str, BlockSize], ...]:
    """Name and box of each part, the one poured or laid first before the other."""
    names = part_names(kind=wish.kind, level=level, split=split, cored=cored)
    if halves:
        return tuple((name, block) for name in names)
    if level:
        low = BlockSize(length=block.length, width=block.width, height=0.5 * pattern.height + margins.below)
        high = BlockSize(length=block.length, width=block.width, height=0.5 * pattern.height + margins.above)
        return tuple(zip(names, (low, high), strict=True))
    one = BlockSize(length=block.length, width=0.5 * block.width, height=block.height)
    return tuple((name, one) for name in names)


def part_names(*, kind: str, level: bool, split: str | None, cored: bool) -> tuple[str, ...]:
    """What the parts of a mould are called, that which is made first before the other.

    Args:
        kind: "closed" or "open-halves". [-]
        level: Whether the parting lies level. [-]
        split: Along which plane of the bulb it parts; None: as `mould_of` takes it. [-]
        cored: Whether a cut is cored. [-]

    Returns:
        Drag and cope; or the two sides; or the one half mould that is poured twice, since halves without cores
        are each other's image turned about the bulb's axis.
    """
    halves = kind == "open-halves"
    if halves and not cored:
        return ("half",)
    if level and not halves:
        return ("drag", "cope")
    upper_lower = not halves if split is None else split == "upper-lower"
    return ("lower", "upper") if upper_lower else ("port", "starboard")


def _part(wish: MouldWish, name: str, box: BlockSize, volume: float) -> MouldPart:
    mix = wish.mix
    if mix is None or wish.bucket is None or wish.spare is None:
        return MouldPart(
            name=name,
            block=box,
            volume=volume,
            just_set=moulding_sand().density * volume + wish.reinforcement,
            dry_in_air=None,
            baked=None,
            over_baked=None,
            anhydrite=None,
            batch=None,
        )
    set_mass = mix.set_density * volume
    return MouldPart(
        name=name,
        block=box,
        volume=volume,
        just_set=set_mass + wish.reinforcement,
        dry_in_air=mix.air_share * set_mass + wish.reinforcement,
        baked=mix.baked_share * set_mass + wish.reinforcement,
        over_baked=mix.over_baked_share * set_mass + wish.reinforcement,
        anhydrite=mix.anhydrite_share * set_mass + wish.reinforcement,
        batch=batches_of(mix, volume=volume * (1.0 + wish.spare), bucket=wish.bucket),
    )


def batches_of(mix: PlasterMix, *, volume: float, bucket: float) -> Batch:
    """Bucketfuls of one size that make a volume of slurry.

    Args:
        mix: What is mixed.
        volume: Of slurry wanted. [m3]
        bucket: Of the bucket, which is filled to 60 %. [m3]

    Returns:
        How many, and what goes into each.
    """
    count = max(1, math.ceil(volume / (BUCKET_FILL * bucket) * (1.0 - 1e-12)))
    each = volume / count
    plaster = each / mix.volume
    return Batch(
        count=count, plaster=plaster, water=plaster * mix.water, sand=plaster * mix.sand, volume=each
    )


def _keys(wall: float, length: float, across: float) -> tuple[RegistrationKey, ...]:
    """Three keys in the corners of the land, the third off the others' line so that the parts close one way only."""
    radius = min(KEY_RADIUS_TO_WALL * wall, LARGEST_KEY)
    out = 0.5 * across + 0.5 * wall
    return (
        RegistrationKey(along=-0.5 * wall, across=-out, radius=radius),
        RegistrationKey(along=-0.5 * wall, across=out, radius=radius),
        RegistrationKey(along=length + 0.5 * wall, across=0.5 * out, radius=radius),
    )
