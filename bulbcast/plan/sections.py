"""The plan as read, with every section in the order of the plan format, and the defaults used.

A section is declared once, by its class (`declare.py`). Its field here makes it part of the plan, and the field's type
says whether it is always present, can be omitted, or can be repeated.
"""

from __future__ import annotations

from bulbcast.materials.learned import LearnedMetal
from bulbcast.plan.boat_sections import BoatSection, WeightSection
from bulbcast.plan.bulb_sections import AlloySection, BulbSection, WaterSection
from bulbcast.plan.confidence_sections import ConfidenceSection
from bulbcast.plan.fastening_sections import CrossPinSection, ScrewSection, StudSection
from bulbcast.plan.fin_sections import FinSection
from bulbcast.plan.melt_sections import MeltSection, PourSection, ScrapSection
from bulbcast.plan.mould_sections import MouldSection, ResinSection
from bulbcast.plan.pattern_sections import (
    FrameSection,
    PartingSection,
    PatternSection,
    PrinterSection,
    RibsSection,
    TemplatesSection,
)
from bulbcast.plan.pot_sections import BurnerSection, LiftingSection, OtherPotSection, PotSection
from bulbcast.plan.rig_sections import RigSection, RudderSection
from bulbcast.plan.strength_sections import LimitsSection, StrengthSection
from bulbcast.quantities import DisplayUnits
from bulbcast.quantities.frozen import frozen


@frozen
class DefaultTaken:
    """A value that the plan did not give, with its key and its source.

    Attributes:
        key: Dotted key, such as `bulb.filler_density`.
        value: Value used, as a builder would type it ("1.2 g/cm3").
        source: Source of the value, or "common practice, no source", or "judgement".
    """

    key: str
    value: str
    source: str


@frozen
class SpreadTyped:
    """A standard deviation given in the plan.

    Attributes:
        key: Dotted path, such as `pattern.contraction` or `screws[1].density`.
        value: One standard deviation. [SI]
    """

    key: str
    value: float


@frozen
class Plan:
    """A complete plan as read. `source` is the file name to show in messages, `sha256` the hash of its bytes.

    The sections are in the order of the plan format.
    """

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
    rudder: RudderSection | None = None
    rig: RigSection | None = None
    strength: StrengthSection | None = None
    limits: LimitsSection | None = None
    parting: PartingSection | None = None
    printer: PrinterSection | None = None
    frame: FrameSection | None = None
    templates: TemplatesSection | None = None
    ribs: RibsSection | None = None
    mould: MouldSection | None
    resin: ResinSection | None
    scrap: tuple[ScrapSection, ...] = ()
    pot: PotSection | None = None
    other_pots: tuple[OtherPotSection, ...] = ()
    burner: BurnerSection | None = None
    lifting: LiftingSection | None = None
    pour: PourSection | None = None
    confidence: ConfidenceSection | None = None
    defaults: tuple[DefaultTaken, ...]
    spreads: tuple[SpreadTyped, ...] = ()
    learned: LearnedMetal | None = None
    source: str
    sha256: str

    @property
    def halves_bonded(self) -> bool:
        """Whether two halves are bonded face to face on the middle plane, because a blade goes right through or because
        they are cast in open half moulds split port and starboard."""
        mould = self.mould
        if self.fin.joint == "through":
            return True
        return mould is not None and mould.kind == "open-halves" and mould.split != "upper-lower"

    def spread_typed(self, key: str) -> float | None:
        """Standard deviation typed after a value; None if there is none.

        Args:
            key: Dotted path, such as `pattern.contraction` or `screws[1].density`.

        Returns:
            [SI]
        """
        return next((one.value for one in self.spreads if one.key == key), None)
