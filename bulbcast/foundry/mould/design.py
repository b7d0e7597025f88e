"""Design of the mould: its parting and orientation, the blocks round the pattern, their masses, and the plaster to mix.

The axes are those of the mould as it stands when poured: x along its length, y across it, z up. The origin is on the
parting plane at the pattern's nose, or on the pattern's axis if the parting is vertical. Blocks are plain boxes; sprue,
feeder and vents are not subtracted from them.

Open halves without cores are one mould poured twice, since each half is the other turned about the bulb's axis. The
limits on the charge apply to the metal that is hot at any one time.
"""

from __future__ import annotations

import math
from typing import Literal

from bulbcast.materials.plaster import FRESH_MORTAR, PlasterMix, moulding_sand
from bulbcast.plan.mould_sections import (
    CoreMaterial,
    Drying,
    MouldKind,
    MouldMaterial,
    MouldSection,
    Orientation,
    Split,
)
from bulbcast.quantities import Shown
from bulbcast.quantities.frozen import frozen, replace

WALL_SMALL, WALL_MIDDLE, WALL_LARGE = 0.030, 0.040, 0.085
"""Wall thickness round the pattern for pieces below 10 kg, below 40 kg, and from 40 kg. Common practice, no source: 25 to
40 mm for models, 75 to 100 mm with mesh from 40 kg."""
MIDDLE_FROM, LARGE_FROM = 10.0, 40.0
FLOOR_TO_WALL = 1.25
"""Ratio of floor thickness to wall thickness, above 1 because metal can break through a thin floor. Common practice, no
source."""
THINNEST_COVER, COVER_TO_BULB = 0.025, 0.8
"""Minimum cover over a level bulb, and ratio of the cover to the bulb's height in the mould. Over a small bulb the
cover is thinner than the wall, because the neck of a feeder that is taller than the bulb's width freezes under the
torch (simulated, tests/benchmarks/bench_feeding.py). [m], [-]"""
BUCKET_FILL = 0.60
"""Fraction of the bucket to fill, which leaves room to sift and stir the plaster. Common practice, no source."""
KEY_TO_WALL, SMALLEST_KEY, LARGEST_KEY = 0.45, 0.010, 0.020
"""Size of rounded keys, 10 to 20 mm across and a little less than half the wall thickness. Pottery practice."""


@frozen
class Margins:
    """Thickness of mould material round the pattern. [m]

    Attributes:
        ends: Thickness beyond nose and tail.
        sides: Thickness at the sides.
        below: Thickness under the pattern as poured.
        above: Thickness over the pattern as poured; zero for an open half.
    """

    ends: float
    sides: float
    below: float
    above: float


@frozen
class BlockSize:
    """Block as it stands when poured. [m]

    Attributes:
        length: Length along x.
        width: Width along y.
        height: Height along z.
    """

    length: float
    width: float
    height: float

    @property
    def volume(self) -> float:
        """Volume of the block. [m3]"""
        return self.length * self.width * self.height


@frozen
class Batch:
    """One bucketful; a part may need more than one. Masses are in kg, the volume in m3."""

    count: int
    plaster: float
    water: float
    sand: float
    volume: float


@frozen
class MouldPart:
    """One part of the mould.

    Attributes:
        name: Name in the drying log: cope, drag, port, starboard, upper, lower or half.
        block: Box of this part as it stands when poured.
        volume: Volume of mould material, without the cavity. [m3]
        just_set: Mass with all its water and reinforcement; for sand, the rammed mass. [kg]
        batch: Plaster, water and sand for each bucketful; None for sand and mortar, as are all the following
            attributes.
        dry_in_air: Mass without the free water. [kg]
        baked: Mass when baked back to hemihydrate. [kg]
        over_baked: Mass below which the plaster is chalky. [kg]
        anhydrite: Mass without any water. [kg]
    """

    name: str
    block: BlockSize
    volume: float
    just_set: float
    batch: Batch | None = None
    dry_in_air: float | None = None
    baked: float | None = None
    over_baked: float | None = None
    anhydrite: float | None = None


@frozen
class RegistrationKey:
    """Rounded key on the parting plane.

    Attributes:
        along: Distance from the pattern's nose along the bulb. [m]
        across: Distance from the bulb's axis in the parting plane. [m]
        radius: Radius of the key. [m]
    """

    along: float
    across: float
    radius: float


@frozen
class MouldDesign:
    """Mould as planned.

    Attributes:
        section: Section [mould] of the plan.
        material: Material of the blocks.
        thermal: State at the pour: "air-dried", "baked" (also if drying is not given), "sand" or "mortar".
        drying: "air" or "baked"; None for sand and mortar, or if the plan does not say.
        kind: Closed, with two parts and one pour, or open halves with two pours.
        orientation: Orientation when poured.
        split: Plane of the bulb along which the mould parts.
        parting: Whether the parting plane is horizontal or vertical as poured.
        bulb_axis: Whether the bulb's axis is horizontal or vertical as poured.
        pattern: Box of the coated pattern as poured; for an open half, of half the pattern. [m]
        block: Box of the complete mould as poured; for open halves, of one half.
        margins: Thickness of mould round the pattern. [m]
        parts: Parts to make.
        keys: Keys on the parting plane; none for open halves.
        pours: Number of times that metal is poured.
        piece_mass: Cast mass of the piece poured at once. [kg]
        cavity_volume: Volume of the piece poured at once, with cored cuts treated as solid. [m3]
        mix: Mix of the plaster; None for sand and mortar.
        core: Material of the cores; None if nothing is cored.
        reinforcement: Steel in each part. [kg]
    """

    section: MouldSection
    material: MouldMaterial
    thermal: Literal["air-dried", "baked", "sand", "mortar"]
    drying: Drying | None
    kind: MouldKind
    orientation: Orientation
    split: Split
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
    core: CoreMaterial | None
    reinforcement: float

    @property
    def foundry_work(self) -> bool:
        """Whether the piece poured in one go is too heavy to cast at home."""
        return self.piece_mass > self.section.foundry_from


def foundry_words(design: MouldDesign, shown: Shown) -> str:
    """Return the advice that replaces a mould plan: have a foundry cast the piece, and what to give the foundry.

    Args:
        design: Mould for a piece that is a job for a foundry.
        shown: The builder's units.
    """
    return (
        f"A piece of {shown.mass(design.piece_mass)} poured in one go is a job for a foundry, so no mould, drying or gating "
        "is planned for casting it at home. Take the pattern and its stations to a foundry, and state the alloy, the "
        "contraction allowance and the casting's mass. Leave the mould, gating and melt to them."
    )


def default_wall(piece_mass: float) -> float:
    """Choose the wall thickness round the pattern from the mass poured at once, if the plan gives none.

    Args:
        piece_mass: Cast mass of one pour. [kg]

    Returns:
        Thickness of the wall. [m]
    """
    if piece_mass < MIDDLE_FROM:
        return WALL_SMALL
    return WALL_MIDDLE if piece_mass < LARGE_FROM else WALL_LARGE


def mix_of(section: MouldSection) -> PlasterMix | None:
    """Return the plaster mix as planned, with its likely purity; None for sand and mortar.

    Args:
        section: Section [mould] of the plan.
    """
    if section.consistency is None or section.purity is None or section.sand is None:
        return None
    return PlasterMix(water=0.01 * section.consistency, purity=section.purity, sand=section.sand)


def mould_of(
    section: MouldSection,
    *,
    length: float,
    width: float,
    height: float,
    volume: float,
    cast_mass: float,
    cored: bool,
) -> MouldDesign:
    """Design the mould round a coated pattern.

    Args:
        section: Section [mould] of the plan.
        length: Length of the coated pattern. [m]
        width: Width of the coated pattern athwartships. [m]
        height: Height of the coated pattern as the bulb hangs. [m]
        volume: Volume of the coated pattern, with cored cuts treated as solid. [m3]
        cast_mass: Mass of the complete cast body. [kg]
        cored: Whether a cut is cored; open halves are then two moulds that mirror each other.

    Returns:
        Mould as planned.
    """
    halves = section.kind == "open-halves"
    split = section.split or ("port-starboard" if halves else "upper-lower")
    orientation = "lying" if halves else section.orientation
    upright_axis = orientation in ("nose-up", "tail-up")
    level_parting = orientation == "lying"
    # Sizes across the parting plane, and in that plane across the bulb's axis.
    through, across = (height, width) if split == "upper-lower" else (width, height)
    pours = 2 if halves else 1
    piece = cast_mass / pours
    wall = default_wall(piece) if section.wall is None else section.wall
    floor = FLOOR_TO_WALL * wall if section.floor is None else section.floor
    lies_high = through if level_parting else across
    low = wall if upright_axis else min(wall, max(THINNEST_COVER, COVER_TO_BULB * lies_high))
    cover = 0.0 if halves else low if section.cover is None else section.cover
    if upright_axis:
        pattern = BlockSize(length=across, width=through, height=length)
    elif level_parting:
        pattern = BlockSize(length=length, width=across, height=0.5 * through if halves else through)
    else:
        pattern = BlockSize(length=length, width=through, height=across)
    margins = _in_box(section, pattern, Margins(ends=wall, sides=wall, below=floor, above=cover))
    block = BlockSize(
        length=pattern.length + 2.0 * margins.ends,
        width=pattern.width + 2.0 * margins.sides,
        height=pattern.height + margins.below + margins.above,
    )
    names = part_names(section, cored=cored)
    if halves:
        boxes = [block for _ in names]
    elif level_parting:
        boxes = [
            replace(block, height=0.5 * pattern.height + margin) for margin in (margins.below, margins.above)
        ]
    else:
        boxes = [replace(block, width=0.5 * block.width) for _ in names]
    return MouldDesign(
        section=section,
        material=section.material,
        thermal=section.material
        if section.material != "plaster"
        else "air-dried"
        if section.drying == "air"
        else "baked",
        drying=section.drying,
        kind=section.kind,
        orientation=orientation,
        split=split,
        parting="horizontal" if level_parting else "vertical",
        bulb_axis="upright" if upright_axis else "level",
        pattern=pattern,
        block=block,
        margins=margins,
        parts=tuple(
            _part(section, name, box, box.volume - 0.5 * volume)
            for name, box in zip(names, boxes, strict=True)
        ),
        keys=() if halves else _keys(_land(section, margins, orientation, wall), length, across, orientation),
        pours=pours,
        piece_mass=piece,
        cavity_volume=volume / pours,
        mix=mix_of(section),
        # A plaster core keeps its bound water as the mould does, which is the safe assumption if nothing is given.
        core=(section.core or "plaster") if cored else None,
        reinforcement=section.reinforcement or 0.0,
    )


def part_names(section: MouldSection, *, cored: bool) -> tuple[str, ...]:
    """List the names of a mould's parts in the order they are made.

    Args:
        section: Section [mould] of the plan.
        cored: Whether a cut is cored. [-]

    Returns:
        Drag and cope, or the two sides, or a single half mould that is poured twice, since halves without cores are the
        same when turned about the bulb's axis.
    """
    halves = section.kind == "open-halves"
    if halves and not cored:
        return ("half",)
    if section.orientation == "lying" and not halves:
        return ("drag", "cope")
    upper_lower = not halves if section.split is None else section.split == "upper-lower"
    return ("lower", "upper") if upper_lower else ("port", "starboard")


def _part(section: MouldSection, name: str, box: BlockSize, volume: float) -> MouldPart:
    mix, steel = mix_of(section), section.reinforcement or 0.0
    if mix is None or section.bucket is None or section.spare is None:
        fresh = FRESH_MORTAR if section.material == "mortar" else moulding_sand().density
        just_set = fresh * volume + steel
        return MouldPart(name=name, block=box, volume=volume, just_set=just_set)
    set_mass = mix.set_density * volume
    return MouldPart(
        name=name,
        block=box,
        volume=volume,
        just_set=set_mass + steel,
        batch=batches_of(mix, volume=volume * (1.0 + section.spare), bucket=section.bucket),
        dry_in_air=mix.air_share * set_mass + steel,
        baked=mix.baked_share * set_mass + steel,
        over_baked=mix.over_baked_share * set_mass + steel,
        anhydrite=mix.anhydrite_share * set_mass + steel,
    )


def batches_of(mix: PlasterMix, *, volume: float, bucket: float) -> Batch:
    """Divide a volume of slurry into equal bucketfuls.

    Args:
        mix: Plaster mix.
        volume: Volume of slurry required. [m3]
        bucket: Volume of the bucket, which is filled to 60 %. [m3]

    Returns:
        Number of bucketfuls, and the contents of each.
    """
    count = max(1, math.ceil(volume / (BUCKET_FILL * bucket) * (1.0 - 1e-12)))
    each = volume / count
    plaster = each / mix.volume
    return Batch(
        count=count, plaster=plaster, water=plaster * mix.water, sand=plaster * mix.sand, volume=each
    )


def key_across(wall: float) -> float:
    """Choose the diameter of the mould's keys.

    Args:
        wall: Thickness of mould material round the pattern. [m]

    Returns:
        Diameter of the keys. [m]
    """
    return min(max(KEY_TO_WALL * wall, SMALLEST_KEY), LARGEST_KEY)


def _in_box(section: MouldSection, pattern: BlockSize, usual: Margins) -> Margins:
    """Calculate the thickness that a box leaves on each side of the pattern, or the default thickness if no box is given
    or it is too small.

    Floor and cover divide the remaining height in their default ratio.
    """

    def left(box: float | None, size: float) -> float | None:
        return None if box is None or box <= size else box - size

    ends, sides = left(section.box_length, pattern.length), left(section.box_width, pattern.width)
    high = left(section.box_height, pattern.height)
    share = usual.below / (usual.below + usual.above)
    return Margins(
        ends=usual.ends if ends is None else 0.5 * ends,
        sides=usual.sides if sides is None else 0.5 * sides,
        below=usual.below if high is None else share * high,
        above=usual.above if high is None else (1.0 - share) * high,
    )


def _land(
    section: MouldSection, margins: Margins, orientation: Orientation, wall: float
) -> tuple[float, float]:
    """Width of the land for the keys, beyond the nose and tail and at the sides of the bulb. [m]"""
    if section.box_length is None and section.box_width is None and section.box_height is None:
        return wall, wall
    upright = min(margins.below, margins.above)
    if orientation == "lying":
        return margins.ends, margins.sides
    return (margins.ends, upright) if orientation == "on-edge" else (upright, margins.ends)


def _keys(
    land: tuple[float, float], length: float, across: float, orientation: Orientation
) -> tuple[RegistrationKey, ...]:
    """Place three keys in the corners of the land, with the third out of line so that the parts fit together in only one
    way.

    In a mould that stands on end, the third key is at the lower end, clear of the feeder.
    """
    radius = 0.5 * key_across(min(land))
    out = 0.5 * across + 0.5 * land[1]
    two, one = -0.5 * land[0], length + 0.5 * land[0]
    if orientation == "tail-up":
        two, one = one, two
    return (
        RegistrationKey(along=two, across=-out, radius=radius),
        RegistrationKey(along=two, across=out, radius=radius),
        RegistrationKey(along=one, across=0.5 * out, radius=radius),
    )
