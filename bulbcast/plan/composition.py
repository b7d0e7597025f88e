"""A composition as typed, parts per hundred by mass, to checked parts."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from bulbcast.plan.answer_words import shown_name, words_of
from bulbcast.plan.answers import wrong_kind
from bulbcast.quantities import joined

if TYPE_CHECKING:
    from bulbcast.plan.answers import Answers
    from bulbcast.plan.key import Key

# Why some metals that turn up in scrap are turned away (practice; sources in the safety texts).
_REFUSED = {
    "Zn": "Zinc spoils the melt: sort it out before melting.",
    "Cd": "Cadmium fume can kill: do not melt this metal.",
    "Ca": "Calcium means battery metal: do not melt it.",
    "Hg": "Mercury vapour is poisonous: do not melt this metal.",
    "Al": "Aluminium spoils the melt: sort it out before melting.",
}


def read_composition(answers: Answers, key: Key, place: str, value: object) -> None:
    """Read one composition.

    Args:
        answers: Grows by the parts, or by the faults. [-]
        key: Of the composition. [-]
        place: Dotted. [-]
        value: As TOML reads it. [-]
    """
    from bulbcast.materials.alloys import elements  # its table is read only where it is needed

    known = elements()
    if not isinstance(value, dict) or not value:
        wrong_kind(answers, key, place, value)
        return
    faults = len(answers.faults)
    parts = []
    for symbol, part in value.items():
        spot = f"{place}.{shown_name(symbol)}"
        if symbol not in known:
            near = next((each for each in known if each.casefold() == symbol.casefold()), None)
            refused = _REFUSED.get(symbol.capitalize(), "Leave out what is only a trace.")
            answers.fault(
                spot,
                "an element that is not taken",
                f"parts of {joined(known, 'and')}",
                (
                    f"Did you mean {near}?"
                    if near
                    else f"{refused} Where scrap holds other metals, weigh a sample in air and in water "
                    "(alloy.weighed) instead."
                ),
            )
        elif isinstance(part, bool) or not isinstance(part, (int, float)) or not 0 <= part <= 100:
            answers.fault(
                spot,
                words_of(part),
                "a bare number from 0 to 100, parts per hundred by mass",
                f"Write {symbol} = 4, say.",
            )
        else:
            parts.append((symbol, float(part)))
    total = math.fsum(part for _, part in parts)
    if len(answers.faults) > faults:
        return
    if abs(total - 100.0) > 0.1 + 1e-9:
        rest = 100.0 - math.fsum(part for symbol, part in parts if symbol != "Pb")
        answers.fault(
            place,
            f"{', '.join(f'{symbol} = {part:g}' for symbol, part in parts)}, together {total:g}",
            "parts per hundred that add up to 100, within 0.1",
            (f"Fix the parts; Pb = {rest:g} would do." if rest > 0.0 else "Fix the parts, lead included."),
        )
        return
    answers.compositions[place] = tuple(parts)
