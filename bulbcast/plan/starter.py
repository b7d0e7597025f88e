"""The commented starter plan. It runs as it is, explains each key and, on request, says how to measure it.

Values are those of an invented boat (`starter_boats.py`). The comments and the keys left at their defaults come from
the table of keys.
"""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from bulbcast.plan.answer_words import LONGEST_NAME, nearest
from bulbcast.plan.keys import KEYS, SECTIONS, bracketed, section_keys
from bulbcast.plan.starter_boats import (
    ABOUT,
    BASIC,
    BY_THE_BOAT,
    DEEPER_POCKET,
    FIN,
    FIN_MASS,
    GROUPS,
    IMPERIAL_SCREW,
    NEEDS,
    REPEATED,
    SINGLE,
    WEIGHED_FIN_FOR,
    WHOLE_FIN_FOR,
    StarterKind,
)
from bulbcast.quantities import DisplayUnits, joined, quoted
from bulbcast.quantities.prose import in_her_units, typed_in_imperial

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from bulbcast.plan.key import Key

_OF_A_SIZE = ("diameter", "hole_diameter", "head_diameter", "head_height")
"""Keys of a screw that are filled in from its size."""
_COMMENT_COLUMN = 32
_WIDTH, _WIDEST = 100, 110

_HEAD = """\
# A plan for a cast-lead ballast bulb. It runs as it is; replace the figures with your own.
# Every length, mass, density, angle, temperature and percentage is in quotes, with its unit:
#   "2.45 kg"  "2450 g"  "4 lb 14 oz"  "70 mm"  "13 1/4 in"  "5/16 in"  "0.4 %"  "350 C"  "660 F"
# Use a decimal point. Lines that begin with "# key =" keep the default; remove the # to set the key.
# Lead is poisonous and molten lead burns and spits: read the cautions in the report before any melting.
"""
_TAIL = """
# Other sections that a plan can have. bulbcast new FILE --with boat,mould writes some of them and says
# how to measure each figure; bulbcast explain SECTION or SECTION.KEY also says how.
"""


def starter_plan(
    name: str = "Brackenwhistle",
    *,
    kind: StarterKind | None = None,
    more: Sequence[str] = (),
    units: DisplayUnits = "metric",
) -> str:
    """A plan file for `bulbcast new` to write.

    Args:
        name: Name of the boat; one line of printable text. [-]
        kind: Kind of boat; if it is given, the plan says how to measure each figure. None means a model, without these
            notes. [-]
        more: Sections in addition to the basic ones, as returned by `sections_asked`. [-]
        units: Units of the figures and of the plan's reports. [-]

    Returns:
        Text of the file, which `read_plan` reads without faults.

    Raises:
        ValueError: The name is empty, too long, or cannot be printed.
    """
    if not name.strip() or len(name) > LONGEST_NAME or not name.isprintable():
        raise ValueError(
            f"the boat's name was {quoted(name)}; it must be one line of printable text, "
            f"at most {LONGEST_NAME} characters"
        )
    full = kind is not None or bool(more)
    boat: StarterKind = kind or "model"
    held = [section for section in SECTIONS if section in (*BASIC, *more)]
    lines = [_HEAD, _line(KEYS["name"], _toml_text(name))]
    lines.append(_line(KEYS["display_units"], f'"{units}"'))
    for section in held:
        lines += ["", f"# {ABOUT[section]}"]
        several = REPEATED[boat].get(section)
        if section == "weights" and "rudder" in held and several is not None:
            several = tuple(one for one in several if one["name"] != '"rudder"')
        if section == "screws" and units == "imperial" and several is not None:
            several = tuple(_by_size(one, IMPERIAL_SCREW[boat]) for one in several)
        for number, values in enumerate([_values(boat, section, held)] if several is None else several):
            lines += [""] * bool(number) + [bracketed(section)]
            lines += _section(section, values, first=number == 0, full=full)
    lines.append(_TAIL.rstrip("\n"))
    wide = max(len(bracketed(section)) for section in SECTIONS) + 2
    lines += [f"#   {bracketed(one):<{wide}}{ABOUT[one]}" for one in SECTIONS if one not in held]
    text = "\n".join(lines)
    if units == "imperial":
        text = "\n".join(_imperial(one) for one in text.split("\n"))
    return f"{text}\n"


def _by_size(screw: Mapping[str, str], size: str) -> Mapping[str, str]:
    """Screw given by its nominal size instead of its thread, hole and head."""
    return {"size": size} | {leaf: one for leaf, one in screw.items() if leaf not in _OF_A_SIZE}


def _imperial(line: str) -> str:
    """Convert a line of the plan to imperial units, both the typed values and the quantities in its remark."""
    if line.startswith('#   "'):
        return line
    key, mark, remark = line.partition(" # ")
    if "=" not in key:
        return _wrapped(in_her_units(line, "imperial"))
    remark = in_her_units(remark, "imperial")
    text = f"{typed_in_imperial(key).rstrip():<{len(key)}}{mark}{remark}"
    # A remark too long for its line is placed above it.
    return text if len(text) <= _WIDEST else f"{_wrapped(f'# {remark}')}\n{typed_in_imperial(key).rstrip()}"


def _wrapped(line: str) -> str:
    """Wrap a comment that is too long for the page onto several lines."""
    if len(line) <= _WIDEST or not line.startswith("# "):
        return line
    return "\n".join(textwrap.wrap(line[2:], _WIDTH, initial_indent="# ", subsequent_indent="# "))


def sections_asked(words: Iterable[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Sections requested by name, with the other sections that they need.

    Args:
        words: Names as typed, such as "boat", "[mould]" or "all". [-]

    Returns:
        Sections in the order of the plan format, and a message for each name that is not a section.
    """
    asked: set[str] = set()
    wrong = []
    known = [section for section in SECTIONS if section not in BASIC]
    for typed in words:
        word = typed.strip().strip("[]").casefold().replace("-", "_").replace(" ", "_")
        if word == "all":
            asked.update(known)
        elif word in SECTIONS:
            asked.update(GROUPS.get(word, (word,)))
        else:
            near = nearest(word, [*known, "melt", "all"])
            meant = (
                f'Did you mean "{near}"?'
                if near
                else f'Choose from {joined([*known, "melt"], "and")}, or write "all".'
            )
            wrong.append(f"--with: read {quoted(typed)}; expected section names separated by commas. {meant}")
    for section in tuple(asked):
        asked.update(NEEDS.get(section, ()))
    return tuple(section for section in known if section in asked), tuple(wrong)


def _values(boat: StarterKind, section: str, held: Sequence[str]) -> Mapping[str, str]:
    """Values of a section, given the other sections in the file."""
    values = dict(SINGLE[boat][section])
    if section == "fin" and not set(WHOLE_FIN_FOR).isdisjoint(held):
        values |= FIN[boat]
    if section == "fin" and not set(WEIGHED_FIN_FOR).isdisjoint(held):
        values["mass"] = FIN_MASS[boat]
    if section == "fin" and "studs" in held:
        values["pocket"] = '"cored"'
    if section == "fin" and "cross_pins" in held:
        values["pocket_depth"] = DEEPER_POCKET[boat]
    if "boat" in held:
        values = {leaf: one for leaf, one in values.items() if f"{section}.{leaf}" not in BY_THE_BOAT}
    return values


def _section(section: str, values: Mapping[str, str], *, first: bool, full: bool) -> list[str]:
    """Lines for the section's keys: those with a value, and the other basic ones commented out."""
    lines = []
    filled = _OF_A_SIZE if "size" in values else ()
    shown = [
        key
        for key in section_keys(section)
        if key.leaf in values or (first and not key.rare and key.leaf not in filled)
    ]
    for key in shown:
        if full and first and key.leaf in values:
            lines += textwrap.wrap(key.find, _WIDTH, initial_indent="# ", subsequent_indent="# ")
        line = _line(key, values.get(key.leaf), remarks=first)
        if len(line) > _WIDEST:
            # A remark too long for its line is placed above it.
            lines += textwrap.wrap(key.about, _WIDTH, initial_indent="# ", subsequent_indent="# ")
            line = _line(key, values.get(key.leaf), remarks=False)
        lines.append(line)
    rare = sum(key.rare and key.leaf not in values for key in section_keys(section))
    if full and first and rare:
        lines.append(f"# bulbcast explain {section} lists {rare} more.")
    return lines


def _line(key: Key, value: str | None, *, remarks: bool = True) -> str:
    """Line for one key with its remark; without a value it is commented out, with its default or an example."""
    if value is None:
        shown = key.example
        if key.default is not None:
            shown = f'"{key.default}"' if key.example.startswith('"') else key.default
        text = f"# {key.leaf} = {shown}"
    else:
        text = f"{key.leaf} = {value}"
    return f"{text:<{_COMMENT_COLUMN - 1}} # {key.about}" if remarks else text


def _toml_text(text: str) -> str:
    """Format printable text as a TOML basic string."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
