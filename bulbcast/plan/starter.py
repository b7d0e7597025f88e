"""The commented starter plan: it runs as it is, and says briefly what each key means.

Values are chosen here; the comments, and the keys that are left to their defaults, come from the table of
keys. The boat is invented.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.plan.answer_words import LONGEST_NAME
from bulbcast.plan.keys import KEYS, section_keys
from bulbcast.quantities import quoted

if TYPE_CHECKING:
    from collections.abc import Mapping

    from bulbcast.plan.key import Key

_COMMENT_COLUMN = 32

_HEAD = """\
# A plan for a cast-lead ballast bulb. It runs as it is; put in your own figures.
# Every length, mass, density, angle, temperature and percentage is a text with its unit:
#   "2.45 kg"  "2450 g"  "4 lb 14 oz"  "70 mm"  "13 1/4 in"  "5/16 in"  "0.4 %"  "350 C"  "660 F"
# Decimals take a point. Lines that begin with "# key =" are left to the default; take the # away to set them.
# Lead is poisonous and molten lead burns and spits: read the cautions in the report before any melting.
"""

_ABOUT: Mapping[str, str] = {
    "water": "What she floats in.",
    "bulb": "The mass wanted and the shape.",
    "alloy": "What the lead is: exactly one of grade, density, composition, weighed.",
    "fin": "The fin's tip, which the bulb hangs on. Without the boat, x and z run from the tip itself.",
    "screws": "One [[screws]] for each screw, from below through the lead into the fin.",
    "pattern": "From the finished bulb to the pattern that the mould is made from.",
    "melt": "What goes into the pot besides the casting itself.",
}

_VALUES: Mapping[str, str] = {
    "display_units": '"metric"',
    "water.kind": '"fresh"',
    "bulb.target_mass": '"2.1 kg"',
    "bulb.profile": '"naca4"',
    "bulb.fineness": "5.5",
    "bulb.tail_diameter": '"4 mm"',
    "bulb.skin": '"0.2 mm"',
    "alloy.grade": '"pure"',
    "fin.tip_chord": '"72 mm"',
    "fin.tip_thickness": '"7.5 mm"',
    "fin.pocket_depth": '"7 mm"',
    "fin.carry_at": "0.40",
    "fin.material": '"metal"',
}

_SCREWS: tuple[Mapping[str, str], ...] = tuple(
    {
        "at": at,
        "diameter": '"4 mm"',
        "hole_diameter": '"4.5 mm"',
        "head_diameter": '"8 mm"',
        "head_height": '"2.6 mm"',
        "recess": '"8 mm"',
        "length": '"40 mm"',
    }
    for at in ('"15 mm"', '"35 mm"')
)


def starter_plan(name: str = "Brackenwhistle") -> str:
    """A plan file for `bulbcast new` to write.

    Args:
        name: Of the boat; one line of printable text. [-]

    Returns:
        The file's text, which `read_plan` takes without a fault.

    Raises:
        ValueError: The name is empty, too long, or cannot be printed.
    """
    if not name.strip() or len(name) > LONGEST_NAME or not name.isprintable():
        raise ValueError(
            f"the boat's name was {quoted(name)}; it must be one line of printable text, "
            f"at most {LONGEST_NAME} characters"
        )
    lines = [_HEAD]
    lines += [_line(KEYS["name"], _toml_text(name)), _line(KEYS["display_units"], _VALUES["display_units"])]
    for section, about in _ABOUT.items():
        lines += ["", f"# {about}"]
        if section == "screws":
            for number, screw in enumerate(_SCREWS):
                lines += [""] * bool(number) + ["[[screws]]"]
                lines += [
                    _line(key, screw.get(key.leaf), remarks=number == 0)
                    for key in section_keys(section)
                    if key.leaf in screw or (number == 0 and not key.rare)
                ]
            continue
        lines.append(f"[{section}]")
        lines += [_line(key, _VALUES.get(key.name)) for key in section_keys(section) if not key.rare]
    return "\n".join(lines) + "\n"


def _line(key: Key, value: str | None, *, remarks: bool = True) -> str:
    """One key with its remark; commented out, with its default or an example, where no value is chosen."""
    if value is None:
        shown = key.example
        if key.default is not None:
            shown = f'"{key.default}"' if key.example.startswith('"') else key.default
        text = f"# {key.leaf} = {shown}"
    else:
        text = f"{key.leaf} = {value}"
    return f"{text:<{_COMMENT_COLUMN - 1}} # {key.about}" if remarks else text


def _toml_text(text: str) -> str:
    """Printable text as a TOML basic string."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
