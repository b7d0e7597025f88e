"""Sixty plans that are rejected: unknown, missing, exclusive and dependent keys, wrong dimensions and ranges, and
invalid TOML."""

from __future__ import annotations

from net_made import ACCEPTS
from net_plans import Case

LEAST = {
    "bulb": 'target_mass = "2.45 kg"',
    "alloy": 'grade = "pure"',
    "fin": 'tip_chord = "70 mm"\ntip_thickness = "7 mm"',
}
SCREW = """\
at = "14 mm"
diameter = "4 mm"
hole_diameter = "4.5 mm"
head_diameter = "8 mm"
head_height = "2.6 mm"
recess = "8 mm"
length = "45 mm"
"""
BOAT = 'hull_displacement = "3.9 kg"\nwaterline_length = "900 mm"\nbuoyancy_x = "480 mm"\n'
ROOT = 'root_chord = "85 mm"\nroot_thickness = "9 mm"\nroot_leading_edge_x = "380 mm"\nroot_z = "-50 mm"\n'
RUDDER = """\
root_chord = "46 mm"
tip_chord = "34 mm"
root_thickness = "5 mm"
tip_thickness = "4 mm"
root_leading_edge_x = "880 mm"
tip_leading_edge_x = "886 mm"
root_z = "-14 mm"
tip_z = "-150 mm"
"""
POT = 'capacity = "1.3 l"\nmaterial = "steel"\nmass = "3 kg"\n'
LOT = 'kind = "sheet"\ngross = "5 kg"\n'

SAID: tuple[tuple[str, dict[str, str]], ...] = (
    ("unknown-key", {"bulb": 'skinn = "0.2 mm"'}),
    ("key-of-another-section", {"melt": 'contraction = "0.9 %"'}),
    ("unknown-section", {"patern": 'coat = "0.1 mm"'}),
    ("strange-section", {"hands": "on_deck = 2"}),
    ("single-brackets", {"screws!": SCREW}),
    ("double-brackets", {"[pattern]": 'coat = "0.1 mm"'}),
    ("bare-number", {"melt": "feeder = 200"}),
    ("comma", {"bulb": 'skin = "0,2 mm"'}),
    ("wrong-dimension", {"bulb": 'length = "70 g"', "pour": 'temperature = "3 mm"', "burner": 'power = "3 kg"'}),
    ("unknown-where-measured", {"bulb": 'skin = "unknown"', "fin": 'rake = "unknown"'}),
    ("no-unit", {"bulb": 'skin = "0.2"', "printer": 'layer = "thick"'}),
    ("below-range", {"bulb": "fineness = 1.9", "printer": 'layer = "0 mm"', "resin": 'packing = "10 %"'}),
    ("above-range", {"pattern": 'chord_error = "0.02 m"\ncontraction = "9 %"',
     "mould": 'material = "plaster"\nconsistency = 400'}),
    ("not-a-number", {"bulb": "fineness = nan\nwidth_to_height = inf"}),
    ("quoted-number", {"bulb": 'fineness = "5"', "ribs": 'count = "five"'}),
    ("truth-value", {"bulb": "fineness = true", "alloy": "porosity = false"}),
    ("list", {"pattern": 'coat = ["0.1 mm"]', "frame": "kind = []"}),
    ("wrong-word", {"fin": 'material = "Wood"', "water": 'kind = "brackish"', "mould": 'material = "clay"'}),
    ("empty-text", {"limits": 'rule = ""', "": 'name = " "'}),
    ("section-is-a-number", {"": "melt = 3"}),
    ("missing-in-a-screw", {"[screws]": 'at = "14 mm"'}),
    ("missing-in-pin-and-stud", {"[cross_pins]": 'at = "1 mm"', "[studs]": 'at = "1 mm"'}),
    ("missing-in-pot-and-burner", {"pot": 'mass = "3 kg"', "burner": 'fuel = "butane"'}),
    ("missing-in-scrap", {"[scrap]": 'name = "heap"'}),
    ("missing-in-rig-and-rudder", {"rig": 'wind = "4 m/s"', "rudder": 'mass = "30 g"', "boat": BOAT}),
    ("missing-in-mould", {"mould": 'wall = "30 mm"'}),
    ("missing-in-weights", {"[weights]": 'name = "hull"', "boat": BOAT}),
    ("two-alloys", {"alloy": 'density = "11.1 g/cm3"'}),
    ("three-sizes", {"bulb": 'fineness = 5\nlength = "240 mm"\ndiameter = "45 mm"'}),
    ("two-waters", {"water": 'kind = "salt"\ndensity = "1012 kg/m3"'}),
    ("two-places", {"bulb": 'mass_centre_x = "0.4 m"', "fin": "carry_at = 0.4"}),
    ("two-hulls", {"boat": 'hull = "a.stl"\noffsets = "b.csv"', "fin": ROOT}),
    ("no-hull", {"boat": 'kind = "model"', "fin": ROOT}),
    ("two-fin-masses", {"boat": BOAT, "fin": ROOT + 'mass = "200 g"\ndensity = "1.6 g/cm3"'}),
    ("two-rudder-masses", {"boat": BOAT, "fin": ROOT, "rudder": RUDDER + 'mass = "30 g"\ndensity = "1.2 g/cm3"'}),
    ("two-fill-times", {"pour": 'fill_time = "5 s"\nchoke_diameter = "8 mm"'}),
    ("profile-keys", {"bulb": "max_at = 0.4\nnose_radius = 0.5\nprismatic = 0.6"}),
    ("profile-needs", {"bulb": 'profile = "series58"\nmax_at = 0.4'}),
    ("published-places", {"bulb": 'profile = "naca4mod"\nmax_at = 0.35\nnose_index = 0'}),
    ("offsets-missing", {"bulb": 'profile = "offsets"\noffsets = "nowhere.csv"'}),
    ("weights-without-boat", {"[weights]": 'name = "hull"\nmass = "1 kg"\nx = "1 mm"\nz = "1 mm"', "fin": ROOT}),
    ("boat-needs-root", {"boat": BOAT}),
    ("hull-keys-of-another-way", {"boat": BOAT + 'unit = "mm"\naft_axis = "x"', "fin": ROOT}),
    ("same-axes", {"boat": 'hull = "h.stl"\naft_axis = "z"\nup_axis = "-z"\nfreeboard = "9 mm"', "fin": ROOT}),
    ("structure-of-a-model", {"boat": f'{BOAT}kind = "model"\naccept_structure = "{ACCEPTS["structure"]}"', "fin": ROOT}),
    ("rig-without-boat", {"rig": 'sail_area = "3600 cm2"\neffort_z = "640 mm"', "rudder": RUDDER}),
    ("rig-upside-down", {"boat": BOAT, "fin": ROOT, "rig": 'sail_area = "1 m2"\neffort_z = "-1 m"\nlateral_z = "1 m"'}),
    ("movable", {"boat": BOAT, "fin": ROOT, "[weights]":
     'name = "a"\nmass = "1 kg"\nx = "1 mm"\nz = "1 mm"\nmovable_forward_to = "9 mm"'}),
    ("strength-of-nothing", {"strength": 'tightened_to = "200 N"\nvertical_grounding = 2'}),
    ("strength-keys", {"strength": 'section = "solid"\ntube_outer = "9 mm"\nbending_stiffness = "60 N m2"'}),
    ("strength-tube", {"strength": 'section = "tube-cored"\ntube_outer = "9 mm"\ntube_inner = "12 mm"', "fin": ROOT}),
    ("strength-wood", {"strength": "wood_specific_gravity = 0.5", "[screws]": SCREW + 'pitch = "0 mm"'}),
    ("thread-and-washer", {"strength": 'grain = "along the span"', "[screws]": SCREW + 'washer_diameter = "12 mm"'}),
    ("limits-need", {"limits": 'draught = "480 mm"\nfin_with_bulb = "2.8 kg"'}),
    ("mould-plaster", {"mould": 'material = "plaster"\nsand_kind = "dried"\ncured_at = "200 C"\ncore = "steel"'}),
    ("mould-sand", {"mould": 'material = "sand"\nconsistency = 70\ndrying = "air"\nsand_moisture = "1 %"'}),
    ("mould-halves", {"mould": 'material = "plaster"\nkind = "open-halves"\norientation = "nose-up"\ncover = "30 mm"'
     f'\ndrying = "baked"\naccept_bound_water = "{ACCEPTS["bound water"][:-1]}"'}),
    ("melt-keys", {"pot": POT + 'ladle = "2 kg"\ncount = 1.5',
     "burner": 'power = "3 kW"\nfuel = "electric"\nfuel_on_hand = "1 kg"',
     "[scrap]": LOT + 'density = "11.1 g/cm3"\ncomposition = {Pb = 90}\ngross_spread = "9 kg"\nyield_spread = "2 %"',
     "alloy": 'water_temperature = "20 C"'}),
    ("shop-keys", {"parting": 'plane = "none"\nregister = "keys"', "printer": 'pieces = 1.5\nmargin = "200 mm"',
     "frame": 'kind = "printed"', "ribs": 'count = 2.5\nplate_width = "9 mm"',
     "resin": 'room = "40 C"\nhighest_temperature = "30 C"',
     "templates": 'paper = "A5"'}),
    ("no-toml", {"": "this is no TOML = = ["}),
)  # fmt: skip


def broken() -> list[Case]:
    """Sixty broken plans, each made by adding lines to the shortest plan; `plan` reports every fault."""
    return [
        Case(name=f"broken-{name}", text=_text(more), commands=(("plan", "plan.toml", "--out", "bundle"),))
        for name, more in SAID
    ]


def _text(more: dict[str, str]) -> str:
    """Text of a plan; "[name]" stands for a repeated section, and "name!" for one put in single brackets by mistake."""
    lines = {"": more.get("", ""), **LEAST}
    for section, added in more.items():
        if section:
            lines[section] = f"{lines.get(section, '')}\n{added}"
    return "".join(
        f"[{section.rstrip('!')}]\n{text}\n" if section else f"{text}\n" for section, text in lines.items()
    )
