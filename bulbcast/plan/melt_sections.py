"""What the plan says of scrap, pot, burner and pour, in SI and frozen; None means "not given"."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from bulbcast.plan.weighed_sample import WeighedSample

Way = Literal["lift", "ladle", "tap"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrapSection:
    """One [[scrap]]: masses kg, `yield_` clean metal over gross mass, densities kg/m3.

    At most one of `density`, `composition` (mass parts that add up to 1) and `weighed`; none of them, and no
    `yield_`: the kind's own with its full spread. Spreads are standard deviations, None: the usual ones.
    """

    kind: str
    name: str | None
    gross: float
    gross_spread: float | None
    yield_: float | None
    yield_spread: float | None
    density: float | None
    density_spread: float | None
    condition: Literal["dry", "wet", "closed"] | None
    composition: tuple[tuple[str, float], ...] | None = None
    weighed: WeighedSample | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PotSection:
    """[pot]: `capacity` as `volume` (m3) or as the `nominal` mass of lead its maker gives (kg); masses kg.

    `fill` None: 75 % of a volume, 85 % of a nominal mass. `heel` None: by the way the metal gets out.
    """

    volume: float | None
    nominal: float | None
    material: str
    mass: float
    fill: float | None
    count: int
    way: Way
    lift: float
    ladle: float | None
    heel: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BurnerSection:
    """[burner]: power W, shares as fractions, `fuel_on_hand` kg; an electric one has neither margin nor fuel."""

    power: float
    fuel: Literal["propane", "butane", "paraffin", "electric"]
    efficiency: float
    fuel_margin: float | None
    fuel_on_hand: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PourSection:
    """[pour]: temperatures degC, `fill_time` s, lengths m. `temperature` None: 50 C above the liquidus.

    At most one of `fill_time` and `choke_diameter`. `accept_unknown_alloy` is the typed acceptance of an alloy that
    nobody has weighed.
    """

    temperature: float | None
    mould_temperature: float | None
    fill_time: float | None
    choke_diameter: float | None
    discharge: float
    riser_diameter: float | None
    riser_height: float | None
    accept_unknown_alloy: str | None
