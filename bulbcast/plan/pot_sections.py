"""[pot], [[other_pots]], [burner] and [lifting]: what the lead is melted in, over what, and who lifts it.

SI and frozen; None means "not given". Nothing is calculated here.
"""

from __future__ import annotations

from typing import Literal

from bulbcast.plan.agreement import OnlyWith
from bulbcast.plan.declare import key, same_key, section
from bulbcast.plan.key import COMMON, FORMAT, MASS, POWER, RATIO, VOLUME

POT_MATERIALS = ("cast-iron", "steel", "stainless", "aluminium", "thin-can")
"""The last two are accepted only to be refused with their reason."""

Way = Literal["lift", "ladle", "tap"]

_POT_MEANS = {
    "cast-iron": "a casting without cracks",
    "steel": "of plate or pipe, welded",
    "stainless": "of stainless steel",
    "aluminium": "refused: it fails near the heat of the melt",
    "thin-can": "refused: soldered or thin seams give way",
}
_POT_NAMES = {
    "cast-iron": ("iron",),
    "steel": ("mild steel", "carbon steel", "steel pot"),
    "stainless": ("stainless steel",),
    "aluminium": ("aluminum",),
    "thin-can": ("can", "tin can", "food can", "tin"),
}

_BESIDE_A_POT = OnlyWith(
    "pot",
    read="[[other_pots]] without [pot]",
    expected="[[other_pots]] only beside the first pot, [pot]",
    remedy="Call the largest of them [pot], or take [[other_pots]] out.",
)

_BURNT = OnlyWith(
    {"fuel": ("propane", "butane", "paraffin")},
    expected="{leaf} only where something is burnt",
    remedy="Take {leaf} out, or name the fuel.",
)


@section("pot", step="melt", basic="way")
class PotSection:
    """[pot]: `capacity` as `volume` (m3) or as the `nominal` mass of lead its maker gives (kg); masses kg.

    `fill` None: 75 % of a volume, 85 % of a nominal mass. `heel` None: by the way the metal gets out.
    `mass` None: by its capacity.
    """

    volume: float | None = key(
        "brim-full; or the mass of lead that its maker gives",
        VOLUME,
        "10 ml to 2 m3",
        leaf="capacity",
        example="1.2 l",
        required=True,
        others=((MASS, "50 g to 20 t"),),
        find=(
            "Fill it to the brim with water from a measuring jug, then dry it through; or read the "
            "maker's mass of lead."
        ),
    )
    nominal: float | None = same_key("capacity", MASS)
    material: str = key(
        "aluminium and thin cans are refused",
        "choice",
        choices=POT_MATERIALS,
        required=True,
        means=_POT_MEANS,
        also=_POT_NAMES,
        find="Hold a magnet to it and look at its seams; what is not known is not used.",
    )
    mass: float | None = key(
        "its own, empty; left out: that of iron 8 mm thick all round",
        MASS,
        "10 g to 5 t",
        example="3 kg",
        find="Weigh it empty; only how heavy it is to lift and the fuel depend on it.",
    )
    fill: float | None = key(
        "as much of it as may be in it; left out: 75 %, 85 % of a maker's",
        RATIO,
        "5 % to 100 %",
        example="75 %",
        find="Choose it: so full that nothing slops when it is carried.",
    )
    count: int = key(
        "how many alike are on the fire at once",
        "number",
        "1 to 20",
        default="1",
        source=FORMAT,
        whole=("{typed}", "a whole number of pots", "Write count = {floor} or count = {next}."),
        find="Count the pots that are hot at the same time.",
    )
    way: Way = key(
        "how the metal gets out: lifted and tipped, ladled, tapped or tilted on its stand",
        "choice",
        default="lift",
        source=f"{FORMAT}: the usual way with a model's bulb",
        title="How the metal gets out",
        means={
            "lift": "the pot is lifted and tipped",
            "ladle": "dipped out",
            "tap": "out of a spout at the foot, or the pot tilts on its stand",
        },
        also={
            "lift": ("lifted", "tipped"),
            "ladle": ("ladled", "dipped"),
            "tap": ("tapped", "bottom pour", "bottom tap", "spout", "valve", "tilt", "tilted"),
        },
        find="Choose it by what the pot is built for.",
    )
    lift: float = key(
        "pot and metal that one person carries",
        MASS,
        "500 g to 100 kg",
        default="10 kg",
        source=COMMON,
        title="Most that is lifted",
        find=(
            "Try it with the cold pot full of sand: what you carry level and steady at arm's length, "
            "not what you can lift."
        ),
    )
    ladle: float | None = key(
        "lead that the ladle takes; left out: 2 kg",
        MASS,
        "20 g to 50 kg",
        example="2 kg",
        only_with=OnlyWith(
            {"way": "ladle"},
            read='{line} with way = "{word}"',
            expected='a ladle only with way = "ladle"',
            remedy='Write way = "ladle", or take ladle out.',
        ),
        find="Fill it with water and weigh that, times ten and a half: liquid lead is 10.6 g/cm3.",
    )
    heel: float | None = key(
        "that does not come out; left out: 0, 5 % when ladled",
        MASS,
        "0 g to 1 t",
        example="300 g",
        find="Weigh what stays in the pot after a pour.",
    )


@section("other_pots", step="melt", one="further pot", most=3, only_with=_BESIDE_A_POT)
class OtherPotSection:
    """One [[other_pots]]: a pot different from the first, hot at the same time. Masses kg.

    `fill` None: as of the first pot; `mass` None: by its capacity.
    """

    volume: float | None = key(
        "brim-full; or the mass of lead that its maker gives",
        VOLUME,
        "10 ml to 2 m3",
        leaf="capacity",
        example="900 ml",
        required=True,
        others=((MASS, "50 g to 20 t"),),
        find="Fill it to the brim with water from a measuring jug, then dry it through.",
    )
    nominal: float | None = same_key("capacity", MASS)
    material: str = key(
        "as of the first pot",
        "choice",
        choices=POT_MATERIALS,
        required=True,
        means=_POT_MEANS,
        also=_POT_NAMES,
        find="Hold a magnet to it and look at its seams; what is not known is not used.",
    )
    mass: float | None = key(
        "its own, empty; left out: that of iron 8 mm thick all round",
        MASS,
        "10 g to 5 t",
        example="2 kg",
        find="Weigh it empty.",
    )
    fill: float | None = key(
        "as much of it as may be in it; left out: 75 %, 85 % of a maker's",
        RATIO,
        "5 % to 100 %",
        example="75 %",
        find="Choose it: so full that nothing slops when it is moved.",
    )


@section("lifting", step="melt", basic="people hoist")
class LiftingSection:
    """[lifting]: who and what lifts pots, mould parts and casting. `hoist` kg."""

    people: int = key(
        "who lift together, you included",
        "number",
        "1 to 20",
        default="1",
        source=FORMAT,
        whole=("{typed}", "a whole number of people", "Write people = {floor} or people = {next}."),
        title="People who lift",
        find="Count those who are there for the whole pour, in the same protective clothing as you.",
    )
    hoist: float | None = key(
        "working load limit of the hoist and all that it hangs from",
        MASS,
        "5 kg to 50 t",
        example="250 kg",
        title="Hoist's working load limit",
        find=(
            "Read the plates of hoist, hook, chain and sling, and what the beam is good for: the least of "
            "them counts. Chain or wire over molten lead, never webbing or rope."
        ),
    )


@section("burner", step="melt", basic="fuel fuel_on_hand")
class BurnerSection:
    """[burner]: power W, shares as fractions, `fuel_on_hand` kg; an electric one has neither margin nor fuel."""

    power: float = key(
        "all the heat that it makes",
        POWER,
        "50 W to 500 kW",
        example="8 kW",
        required=True,
        find=(
            "Read its plate; or weigh the bottle before and after an hour: 12.9 kW for each kilogram "
            "of propane an hour."
        ),
    )
    fuel: Literal["propane", "butane", "paraffin", "electric"] = key(
        "what it burns",
        "choice",
        default="propane",
        source=FORMAT,
        means={
            "propane": "bottled gas for outdoors",
            "butane": "bottled gas for warm days",
            "paraffin": "lamp oil",
            "electric": "a hot plate or an electric pot",
        },
        also={
            "paraffin": ("kerosene", "kerosine", "lamp oil"),
            "electric": ("electricity", "electrical", "hot plate", "hotplate"),
        },
        find="Look at the bottle or the plug.",
    )
    efficiency: float = key(
        "share of it that gets into pot and metal",
        RATIO,
        "1 % to 100 %",
        default="12 %",
        source="one observed melt of 454 kg with 6.35 kg of propane; 5 to 40 % occur",
        find=(
            "Time how long it takes to warm weighed water in that pot by 50 degrees, and compare with "
            "its power."
        ),
    )
    fuel_margin: float | None = key(
        "more fuel than calculated",
        RATIO,
        "0 % to 500 %",
        default="50 %",
        source="judgement: wind, a cold pot, a second start",
        only_with=_BURNT,
        find="Choose it: wind and a cold day need half as much again.",
    )
    fuel_on_hand: float | None = key(
        "in the bottle",
        MASS,
        "0 g to 10 t",
        example="5 kg",
        only_with=_BURNT,
        find="Weigh the bottle and take off the tare stamped on it.",
    )
