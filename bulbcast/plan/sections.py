"""What a builder's plan says, section by section, in SI and frozen; None means "not given".

One class a section of the plan file. Nothing is computed here: a default that depends on
another figure (the tail diameter on the bulb's, the dross on the grade) stays None in the
section and is settled by the room that owns the rule, which also says so in the report.
Fixed defaults are filled in by the reader and listed in `Plan.defaults`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bulbcast.plan.melt_sections import BurnerSection, PotSection, PourSection, ScrapSection
from bulbcast.plan.mould_sections import MouldSection, ResinSection
from bulbcast.plan.pattern_shop_sections import FrameSection, PartingSection, PrinterSection
from bulbcast.plan.rig_sections import RigSection, RudderSection
from bulbcast.plan.strength_sections import LimitsSection, StrengthSection
from bulbcast.plan.templates_sections import RibsSection, TemplatesSection
from bulbcast.plan.weighed_sample import WeighedSample as WeighedSample
from bulbcast.quantities import DisplayUnits as DisplayUnits

ProfileKind = Literal["naca4", "naca4mod", "spheroid", "series58", "sears-haack", "offsets"]
Grade = Literal[
    "pure",
    "sheet",
    "antimonial-2",
    "antimonial-4",
    "antimonial-6",
    "wheel-weights",
    "linotype",
    "unknown",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class DefaultTaken:
    """A value the plan did not give: which key, what was taken, and on whose word.

    Attributes:
        key: Dotted key, such as `bulb.filler_density`.
        value: What was taken, as a builder would type it ("1.2 g/cm3").
        source: Where the value comes from, or "common practice, no source", "judgement".
    """

    key: str
    value: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterSection:
    """[water]: what she floats in. `density` in kg/m3; `kind` is "fresh", "salt" or "given"."""

    kind: Literal["fresh", "salt", "given"]
    density: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BulbSection:
    """[bulb]: mass wanted and shape. Lengths m, mass kg, densities kg/m3.

    Exactly one of `fineness`, `length`, `diameter` is not None. `max_at` and `nose_index` belong
    to naca4mod, `max_at`, `nose_radius`, `tail_radius`, `prismatic` to series58 (Gertler's m, r0,
    r1, Cp, of the uncut profile), `offsets` (a path as typed) to offsets. `incidence` in rad, nose up
    positive.
    """

    target_mass: float | None
    profile: ProfileKind
    fineness: float | None
    length: float | None
    diameter: float | None
    width_to_height: float
    tail_diameter: float | None
    skin: float
    filler_density: float
    smallest_wall: float | None
    mass_centre_x: float | None
    incidence: float
    max_at: float | None
    nose_index: float | None
    nose_radius: float | None
    tail_radius: float | None
    prismatic: float | None
    offsets: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AlloySection:
    """[alloy]: exactly one of `grade`, `density` (kg/m3), `composition` (mass parts that add up to
    1, by element symbol, in the order typed), `weighed`. `porosity` is a fraction."""

    grade: Grade | None
    density: float | None
    composition: tuple[tuple[str, float], ...] | None
    weighed: WeighedSample | None
    porosity: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FinSection:
    """[fin]: the tip the bulb hangs on. Lengths m in boat axes, `rake` in rad.

    `tip_leading_edge_x` and `tip_z` are those of the tip's leading edge.

    `carry_at` and `elastic_axis` are fractions of the tip chord aft of its leading edge.
    `carry_at` is None where `bulb.mass_centre_x` says the place instead, or the boat's trim does.
    What follows `material` is given with the boat only: the root (m, boat axes), `mass` in kg or
    `density` in kg/m3, and the largest overhangs of the bulb over the tip.
    """

    tip_chord: float
    tip_thickness: float
    tip_leading_edge_x: float
    tip_z: float
    pocket_depth: float
    pocket_clearance: float
    pocket: Literal["cut", "cored"]
    rake: float
    carry_at: float | None
    elastic_axis: float
    material: Literal["metal", "wood", "laminate"] | None
    root_chord: float | None = None
    root_thickness: float | None = None
    root_leading_edge_x: float | None = None
    root_z: float | None = None
    mass: float | None = None
    density: float | None = None
    overhang_forward: float | None = None
    overhang_aft: float | None = None
    joint: Literal["pocket", "through"] | None = None
    bond_line: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewSection:
    """One [[screws]]: lengths m, density kg/m3; `engagement` is the thread wanted above the pocket
    floor, None where it follows from the diameter and the fin's material; `pitch` None: coarse. A washer where diameter and
    thickness are given; its hole None: as the lead's, its density None: the screw's."""

    at: float
    diameter: float
    hole_diameter: float
    head_diameter: float
    head_height: float
    recess: float
    length: float
    hole: Literal["drilled", "cored"]
    density: float
    engagement: float | None
    pitch: float | None
    washer_diameter: float | None
    washer_thickness: float | None
    washer_hole: float | None
    washer_density: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossPinSection:
    """One [[cross_pins]]: lengths m, density kg/m3; `hole_diameter` None: the pin's own."""

    at: float
    height: float
    diameter: float
    hole_diameter: float | None
    length: float
    density: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StudSection:
    """One [[studs]]: lengths m, densities kg/m3; `fill_density` None: the filler's."""

    at: float
    diameter: float
    bore: float
    below: float
    above: float
    density: float
    fill_density: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternSection:
    """[pattern]: fractions and m. `contraction` and `finish` None: the alloy's, and by diameter.
    `density` (kg/m3) of the pattern's own material, None: several usual ones are shown."""

    contraction: float | None
    mould_expansion: float
    finish: float | None
    coat: float
    chord_error: float
    density: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltSection:
    """[melt]: fractions, and the feeder as a mass (kg) or a fraction of the cast mass, never both.
    `dross` None: by grade."""

    feeder_mass: float | None
    feeder_fraction: float | None
    reserve: float
    dross: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BoatSection:
    """[boat]: exactly one of `hull` and `offsets` (paths as typed) and `hull_displacement` (kg).

    `unit`, `modelled` and the axes belong to a hull file; `scale`, `waterline` and the two ends (m, as
    modelled) to a file of either kind; the other figures (m, m2) to bare numbers, the waterline's length also
    to a hull file. `displacement_spread` in kg.
    """

    hull: str | None
    offsets: str | None
    hull_displacement: float | None
    unit: Literal["mm", "cm", "m", "in", "ft"] | None
    scale: float | None
    waterline: float | None
    forward_end: float | None
    aft_end: float | None
    modelled: Literal["whole", "half"] | None
    aft_axis: str | None
    up_axis: str | None
    waterline_length: float | None
    buoyancy_x: float | None
    buoyancy_z: float | None
    waterplane_area: float | None
    flotation_x: float | None
    waterline_beam: float | None
    hull_draught: float | None
    freeboard: float | None
    metacentric_radius: float | None
    metacentric_radius_along: float | None
    displacement_spread: float | None
    kind: Literal["model", "racing-model", "small-craft"] | None
    accept_structure: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightSection:
    """One [[weights]]: kg and m, boat axes; `spread` None: the one usual for its state."""

    name: str
    mass: float
    x: float
    y: float
    z: float
    state: Literal["weighed", "estimated", "to come"]
    spread: float | None
    place_spread: float
    movable_forward_to: float | None
    movable_aft_to: float | None
    can_stay_ashore: Literal["no", "yes"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A whole plan as read. `source` is how messages call the file, `sha256` that of its bytes."""

    name: str
    display_units: DisplayUnits
    water: WaterSection
    bulb: BulbSection
    alloy: AlloySection
    fin: FinSection
    screws: tuple[ScrewSection, ...]
    cross_pins: tuple[CrossPinSection, ...]
    studs: tuple[StudSection, ...]
    pattern: PatternSection
    melt: MeltSection
    boat: BoatSection | None
    weights: tuple[WeightSection, ...]
    mould: MouldSection | None
    resin: ResinSection | None
    strength: StrengthSection | None = None
    limits: LimitsSection | None = None
    defaults: tuple[DefaultTaken, ...]
    source: str
    sha256: str
    parting: PartingSection | None = None
    printer: PrinterSection | None = None
    frame: FrameSection | None = None
    rudder: RudderSection | None = None
    rig: RigSection | None = None
    templates: TemplatesSection | None = None
    ribs: RibsSection | None = None
    scrap: tuple[ScrapSection, ...] = ()
    pot: PotSection | None = None
    burner: BurnerSection | None = None
    pour: PourSection | None = None
