"""[confidence]: the probability that the casting needs drilling and no adding.

SI and frozen; None means "not given". The standard deviations themselves are written after their values, "0.98 +- 0.35
%".
"""

from __future__ import annotations

from bulbcast.plan.declare import key, section
from bulbcast.plan.key import FORMAT, LENGTH, MASS, RATIO


@section("confidence", step="pattern", basic="probability")
class ConfidenceSection:
    """[confidence]: `probability` a fraction, `scale` kg, `centre_within` m."""

    probability: float = key(
        "that the casting needs drilling and no adding; the body is sized for it",
        RATIO,
        "50 % to 99.9 %",
        default="95 %",
        source=FORMAT,
        find=(
            "Choose it: at 95 % one casting in twenty comes out light. More costs lead, and more of it is drilled out "
            "again. This is only as good as the standard deviations: if metal and contraction are off by much more than "
            "assumed, many more come out light. Drilling still ends at the target, since you follow the scale."
        ),
    )
    scale: float | None = key(
        "standard deviation of one weighing of the casting; left out: 0.05 % of it, 1 g at least",
        MASS,
        "0 g to 100 kg",
        example="1 g",
        rare=True,
        find="Weigh the same thing ten times and see how much the readings differ.",
    )
    centre_within: float = key(
        "how far drilling may move the mass centre along the bulb",
        LENGTH,
        "0.01 mm to 50 mm",
        default="0.5 mm",
        source=FORMAT,
        rare=True,
        find="Choose it: half a millimetre cannot be felt on a model yacht.",
    )
