"""Findings on the freeboard that is left where she does not lie on her line."""

from __future__ import annotations

from bulbcast.ballast.freeboard import FreeboardLeft
from bulbcast.findings import Finding, Rule, Severity
from bulbcast.quantities import Shown

DECK_UNDER_WATER = Rule("deck-under-water", Severity.STOP, subject="boat")
FREEBOARD_LOST = Rule("freeboard-lost", Severity.CAUTION, subject="boat")

# Freeboard left over that on her line from which on the loss is told. Judgement.
MUCH_LOST = 0.8


def check_freeboard(freeboard: FreeboardLeft | None, *, shown: Shown) -> tuple[Finding, ...]:
    """A stop where the deck's edge goes under, a caution where a fifth of her freeboard is lost.

    Args:
        freeboard: Of the boat; None where not known.
        shown: The builder's units.
    """
    if freeboard is None or freeboard.left is None:
        return ()
    was, left = freeboard.on_line.height, freeboard.left.height
    if was <= 0.0 or left > MUCH_LOST * was:
        return ()
    under = left <= 0.0
    place = f", at x = {shown.length(freeboard.left.x)}," if freeboard.placed else ""
    state = (
        f"{shown.length(-left)} under water"
        if under
        else f"{shown.length(left)} above water, of {shown.length(was)} on her line"
    )
    return (
        (DECK_UNDER_WATER if under else FREEBOARD_LOST)(
            where="boat",
            found=left,
            limit=0.0 if under else MUCH_LOST * was,
            unit="m",
            message=f"As she lies with this bulb the lowest place of the deck's edge{place} is {state}.",
            remedy="Cast the mass that her line asks, hang it where it levels her, or take weight out of her.",
        ),
    )
