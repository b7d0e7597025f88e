"""Section [confidence]: the probability that the casting only has to be drilled and needs no lead added.

Values are frozen and in SI units; None means "not given". The standard deviations themselves are typed after their
values, as in "0.98 +- 0.35 %".
"""

from __future__ import annotations

from bulbcast.plan.declare import key, section
from bulbcast.plan.key import FORMAT, LENGTH, MASS, RATIO


@section("confidence", step="pattern", basic="probability")
class ConfidenceSection:
    """Section [confidence]; `probability` is a fraction, `scale` is in kg and `centre_within` in m."""

    probability: float = key(
        "probability that the casting only has to be drilled and needs no lead added; the bulb is sized for it",
        RATIO,
        "50 % to 99.9 %",
        default="95 %",
        source=FORMAT,
        find=(
            "Your choice: at 95 % one casting in twenty comes out light. A higher figure costs more lead, and more of it "
            "is drilled out again. The figure is only as good as the standard deviations: if the metal and the "
            "contraction are off by much more than assumed, many more castings come out light. Drilling still ends "
            "at the target, since you follow the scale."
        ),
    )
    scale: float | None = key(
        "standard deviation of one weighing of the casting; default: 0.05 % of its mass, at least 1 g",
        MASS,
        "0 g to 100 kg",
        example="1 g",
        rare=True,
        find="Weigh the same thing ten times and see how much the readings differ.",
    )
    centre_within: float = key(
        "maximum distance by which drilling may move the mass centre along the bulb",
        LENGTH,
        "0.01 mm to 50 mm",
        default="0.5 mm",
        source=FORMAT,
        rare=True,
        find="Your choice: half a millimetre makes no noticeable difference on a model yacht.",
    )
