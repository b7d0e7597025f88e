"""Findings on the screws: whether every cut stays in the lead and every screw in the fin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bulbcast.bulb.fastening.limits import (
    ENGAGEMENT_WOOD,
    ScrewNeeds,
    edge_allowed,
    edge_good,
    engagement,
)
from bulbcast.bulb.fastening.pocket_rules import WALL_THIN, check_pocket, place_of, thin_wall
from bulbcast.bulb.results import BulbResults
from bulbcast.findings import Finding, Rule, Severity, typed
from bulbcast.plan.keys import KEYS
from bulbcast.quantities import Shown, joined
from bulbcast.quantities.typed import length_up

if TYPE_CHECKING:
    from bulbcast.bulb.fastening.remedies import Pair, ScrewRemedy

RECESSES_MEET = Rule(
    "recesses-meet",
    Severity.STOP,
    why="Recesses that run together leave a gap in the lead and no seat between the heads.",
)
SINGLE_SCREW = Rule(
    "single-screw",
    Severity.CAUTION,
    why="One screw is a pivot; the bulb can turn about it and work the screw loose.",
)
BONDED_ONLY = Rule(
    "bonded-only",
    Severity.NOTE,
    Severity.CAUTION,
    why="Glue on lead fails without warning, from creep, water or a knock.",
)
RECESS_TOO_DEEP = Rule(
    "recess-too-deep",
    Severity.STOP,
    why="A recess deeper than the lead leaves nothing for the head to bear on.",
)
RECESS_MEETS_POCKET = Rule(
    "recess-meets-pocket",
    Severity.STOP,
    why="There has to be enough lead between the head and the pocket, or the head pulls through.",
)
HOLE_BREAKS_OUT = Rule(
    "hole-breaks-out",
    Severity.STOP,
    why="A hole that leaves the lead has no wall to hold the screw and no seat for its head.",
)
HEAD_PROUD = Rule(
    "head-proud",
    Severity.CAUTION,
    why="A head that protrudes adds drag, catches weed and cannot be filled over.",
)
SCREW_OUTSIDE_POCKET = Rule(
    "screw-outside-pocket",
    Severity.STOP,
    why="The screw has to come up inside the pocket, where the fin's tip is.",
)
SCREW_OUTSIDE_FIN = Rule(
    "screw-outside-fin",
    Severity.STOP,
    why="A screw that is too thick for the fin splits it or comes out of its side.",
)
FIN_CHEEK_THIN = Rule(
    "fin-cheek-thin",
    Severity.STOP,
    Severity.CAUTION,
    why=(
        "The material beside the hole carries the fin's bending load. If there is too little, the fin splits along the "
        "screw."
    ),
)
SCREW_SHORT = Rule(
    "screw-short",
    Severity.STOP,
    why=("Only the thread holds the screw in the fin. A thread that is too short strips or pulls out."),
)
THREAD_SHORT_IN_WOOD = Rule(
    "thread-short-in-wood",
    Severity.CAUTION,
    why="Wood and laminate hold a thread less well than metal, so a longer one is needed.",
)

SCREW_LONG = Rule(
    "screw-longer-than-fin",
    Severity.CAUTION,
    why="A screw longer than the fin usually means a mistyped digit or unit, and its mass is subtracted from the lead.",
)

TALLEST_UNKNOWN_FIN = 2.0
"""Tallest fin expected if the plan does not give its root, as a multiple of the bulb's length. Judgement. [-]"""

# Possible loss of a longer screw's thread once the bulb is sized again with it. [m]
_REST = 1e-4


def screws_in_trouble(job: BulbResults) -> dict[int, ScrewNeeds]:
    """Screws that leave less lead or fin than required, with the limits for each.

    Args:
        job: The results, with the bulb and the lead and fin round its cuts.

    Returns:
        Limits for each screw that needs a fix, keyed by screw number, counted from 1.
    """
    wanted = job.wall_wanted
    meeting = {other for _, other, gap in job.room.recess_gaps if gap < 0.0}
    needs = {number: screw_needs(job, number) for number in range(1, len(job.plan.screws) + 1)}
    return {
        number: needs[number]
        for number, screw in enumerate(job.room.screws, start=1)
        if number in meeting
        or screw.misses
        or screw.seat_to_floor < wanted
        or (screw.inside_pocket < 0.0 and job.bulb.pocket_depth > 0.0)
        or screw.cheek < needs[number].edge_good
        or any(wall is not None and wall.thickness < wanted for wall in (screw.hole_wall, screw.recess_wall))
    }


def screw_needs(job: BulbResults, number: int) -> ScrewNeeds:
    """The limits for one screw.

    Args:
        job: The bulb.
        number: Number of the screw, from 1.
    """
    asked = job.plan.screws[number - 1]
    return ScrewNeeds(
        wall=job.wall_wanted,
        thread=engagement(asked.engagement, asked.diameter, job.plan.fin.material),
        edge_allowed=edge_allowed(asked.hole_diameter),
        edge_good=edge_good(asked.hole_diameter),
    )


def check_cuts(job: BulbResults, *, search: bool) -> tuple[Finding, ...]:
    """Every finding on the pocket and the screws.

    Args:
        job: Results for the bulb, with the lead and fin material left round its cuts.
        search: Whether to search for a fix for a thin wall.

    Returns:
        Findings in the order of the work.
    """
    shown, screws = job.shown, job.plan.screws
    imperial = shown.units == "imperial"
    remedies: dict[int, ScrewRemedy] = {}
    if search and (needs := screws_in_trouble(job)):
        from bulbcast.bulb.fastening.remedies import screw_remedies

        remedies = screw_remedies(job.bulb, job.wish, needs, imperial=imperial)
    judged = [
        _Judged(job, number, remedies.get(number), screw_needs(job, number))
        for number in range(1, len(screws) + 1)
    ]
    findings = check_pocket(job)
    for one in judged:
        findings += (*one.lead(), *one.fin(), *one.thread(), *one.reach())
    findings += [
        RECESSES_MEET(
            f"screws[{second}].at",
            f"The recesses of screws {first} and {second} overlap by {shown.length(-gap)}.",
            judged[second - 1].repaired(
                f"Move them at least {length_up(-gap, shown)} further apart, or use smaller heads."
            ),
            found=gap,
            limit=0.0,
            unit="m",
        )
        for first, second, gap in job.room.recess_gaps
        if gap < 0.0
    ]
    if len(screws) == 1 and job.fittings is None:
        pair = None
        if search:
            from bulbcast.bulb.fastening.remedies import room_for_two

            pair = room_for_two(job.bulb, judged[0].needs, imperial=imperial)
        findings.append(
            SINGLE_SCREW(
                "screws",
                "Only one screw holds the bulb, which can turn if the bedding fails.",
                _pair_words(pair, shown),
                found=1.0,
                limit=2.0,
            )
        )
    if not screws and job.bulb.pocket_depth > 0.0 and job.fittings is None:
        findings.append(
            BONDED_ONLY(
                "screws",
                "No screw is planned. Only the bedding in its pocket holds the bulb.",
                "Add two [[screws]], unless the bulb is small and the joint has been tested.",
                found=0.0,
                limit=2.0,
                severity=Severity.NOTE,
            )
        )
    return tuple(findings)


def _pair_words(pair: Pair | None, shown: Shown) -> str:
    if pair is None:
        return (
            "The chord has no room for two screws of this size. Use a deeper pocket and bond the fin into it. Or hold "
            "the bulb with two [[cross_pins]], or with a rod bonded in along the fin's axis."
        )
    if not pair.unchanged:
        return "Use two or more screws, with one towards each end of the chord."
    forward = typed("screws[1].at", shown.length(pair.forward))
    aft = typed("screws[2].at", shown.length(pair.aft), also=True)
    rest = typed("screws[2]", "screws[1]", "the rest as in the first", also=True)
    return f"Use two screws: set {forward} and add [[screws]] {aft} with {rest}."


@dataclass(frozen=True, slots=True)
class _Judged:
    """A screw, its limits and the fix that was found for it."""

    job: BulbResults
    number: int
    remedy: ScrewRemedy | None
    needs: ScrewNeeds

    def repaired(self, other: str = "") -> str:
        """The fix that was found, as a sentence; if there is none, `other` or general advice."""
        remedy, shown, where = self.remedy, self.job.shown, f"screws[{self.number}]"
        if remedy is None or not remedy.any:
            return other or (
                f"No position under this fin and no smaller head or washer works for screw {self.number}. Use a fuller "
                "bulb or a thinner screw."
            )
        ways = []
        new = {"at": remedy.at, "recess": remedy.recess, "length": remedy.length}
        lines = [
            typed(f"{where}.{leaf}", shown.length(value), also=True)
            for leaf, value in new.items()
            if value is not None
        ]
        if remedy.found and lines:
            why = ""
            if remedy.at is not None:
                why = (
                    ", the nearest position that meets good practice"
                    if remedy.good_practice
                    else ", the nearest position that is allowed, since none leaves as much fin as good practice requires"
                )
            ways.append(f"set {' and '.join(lines)}{why}")
        ways += [
            f"set {typed(f'{where}.{part}_diameter', shown.length(largest))}, the largest that works at its present position"
            for part, largest in (("head", remedy.largest_head), ("washer", remedy.largest_washer))
            if largest is not None and not other
        ]
        if not ways:
            return other or "The screw itself is in the right position. Use a fuller bulb."
        text = ", or ".join(ways)
        return f"{text[0].upper()}{text[1:]}."

    def lead(self) -> Iterator[Finding]:
        """Findings on the lead left round a screw."""
        job, number = self.job, self.number
        shown, asked, screw = job.shown, job.plan.screws[number - 1], job.room.screws[number - 1]
        where, deep = f"screws[{number}]", shown.length(asked.recess)
        if screw.misses:
            yield HOLE_BREAKS_OUT(
                f"{where}.at",
                f"The axis of screw {number} misses the lead altogether.",
                self.repaired("Move it under the bulb. `at` is measured aft of the tip's leading edge."),
                limit=0.0,
                unit="m",
            )
        elif asked.recess >= screw.lead_above:
            yield RECESS_TOO_DEEP(
                f"{where}.recess",
                f"The recess of screw {number} is {deep} deep, but the bulb is only {shown.length(screw.lead_above)} "
                "deep there.",
                self.repaired(
                    f"Use a recess of less than {shown.length(screw.lead_to_floor)}: the pocket begins there."
                    if screw.lead_to_floor > 0.0
                    else "Use a shallower pocket. The planned one comes out through the underside there."
                ),
                found=asked.recess,
                limit=screw.lead_above,
                unit="m",
            )
        elif screw.lead_to_floor <= 0.0:
            # No recess is shallow enough, and a figure below zero would be no advice.
            yield RECESS_MEETS_POCKET(
                f"{where}.recess",
                f"The pocket comes out through the underside at screw {number}. No lead is left under the head.",
                self.repaired("Use a shallower pocket."),
                found=asked.recess,
                limit=screw.lead_to_floor,
                unit="m",
            )
        elif asked.recess >= screw.lead_to_floor:
            yield RECESS_MEETS_POCKET(
                f"{where}.recess",
                f"The recess of screw {number} is {deep} deep and meets the pocket {shown.length(screw.lead_to_floor)} "
                "above the underside. No lead is left under the head.",
                self.repaired(
                    f"Use a recess of less than {shown.length(screw.lead_to_floor)}, or a shallower pocket."
                ),
                found=asked.recess,
                limit=screw.lead_to_floor,
                unit="m",
            )
        else:
            yield from self._walls()
            yield from self._head()

    def _walls(self) -> Iterator[Finding]:
        job, number = self.job, self.number
        shown, wanted, screw = job.shown, job.wall_wanted, job.room.screws[number - 1]
        where = f"screws[{number}]"
        if screw.seat_to_floor < wanted:
            seat = "head" if job.plan.screws[number - 1].washer_thickness is None else "washer"
            yield WALL_THIN(
                f"{where}.recess",
                f"Between the {seat} seat of screw {number} and the pocket, only {shown.length(screw.seat_to_floor)} of "
                f"lead is left to carry the bulb. {shown.length(wanted)} is required.",
                self.repaired(
                    f"Use a recess {shown.length(wanted - screw.seat_to_floor)} shallower, or a shallower pocket."
                ),
                found=screw.seat_to_floor,
                limit=wanted,
                unit="m",
            )
        for wall, what in ((screw.hole_wall, "hole"), (screw.recess_wall, "recess")):
            if wall is None or (wall.thickness > 0.0 and wall.thickness >= wanted):
                continue
            if wall.thickness > 0.0:
                yield thin_wall(where, f"{what} of screw {number}", wall, wanted, shown, self.repaired())
                continue
            yield HOLE_BREAKS_OUT(
                where,
                f"The {what} of screw {number} breaks out of the lead by {shown.length(-wall.thickness)} at "
                f"{place_of(wall, shown)}.",
                self.repaired(),
                found=wall.thickness,
                limit=0.0,
                unit="m",
            )

    def _head(self) -> Iterator[Finding]:
        """Finding on a head that projects from its recess."""
        shown, number = self.job.shown, self.number
        asked, room = self.job.plan.screws[number - 1], self.job.room.screws[number - 1].rim_depth
        stack, washer = asked.head_height, ""
        if asked.washer_thickness is not None:
            stack += asked.washer_thickness
            washer = f" on a washer {shown.length(asked.washer_thickness)} thick"
        if stack > room:
            yield HEAD_PROUD(
                f"screws[{number}].head_height",
                f"The head of screw {number} is {shown.length(asked.head_height)} high{washer}, but its recess is only "
                f"{shown.length(room)} deep at its shallowest: the head stands proud.",
                f"Deepen the recess by {shown.length(stack - room)}, or use a screw with a lower head.",
                found=stack,
                limit=room,
                unit="m",
            )

    def fin(self) -> Iterator[Finding]:
        """Findings on the fin around a screw."""
        job, number, needs, remedy = self.job, self.number, self.needs, self.remedy
        shown, screw = job.shown, job.room.screws[number - 1]
        where, left = f"screws[{number}].at", shown.length(screw.cheek)
        repaired = self.repaired(
            f"There is no room for screw {number} anywhere under this fin. Use a thinner screw or a thicker fin."
        )
        if screw.inside_pocket < 0.0 and job.bulb.pocket_depth > 0.0:
            yield SCREW_OUTSIDE_POCKET(
                where,
                f"The hole for screw {number} emerges {shown.length(-screw.inside_pocket)} outside the pocket.",
                repaired,
                found=screw.inside_pocket,
                limit=0.0,
                unit="m",
            )
        if screw.cheek < 0.0:
            yield SCREW_OUTSIDE_FIN(
                where,
                f"Screw {number}, {shown.length(job.plan.screws[number - 1].diameter)} thick, does not fit within the "
                f"thickness of the fin {shown.length(screw.at)} aft of the leading edge. It sticks out by "
                f"{shown.length(-screw.cheek)}.",
                repaired,
                found=screw.cheek,
                limit=0.0,
                unit="m",
            )
        elif screw.cheek < needs.edge_good:
            stop = screw.cheek < needs.edge_allowed
            must = f"{shown.length(needs.edge_allowed)} is required, and " if stop else ""
            better = stop or (remedy is not None and remedy.found and remedy.good_practice)
            yield FIN_CHEEK_THIN(
                where,
                f"Only {left} of the fin is left on each side of screw {number}; {must}{shown.length(needs.edge_good)} "
                "is good practice.",
                repaired
                if better
                else "No position under this fin leaves as much fin as good practice requires. Use a thinner "
                "screw or a thicker fin.",
                found=screw.cheek,
                limit=needs.edge_allowed if stop else needs.edge_good,
                unit="m",
                severity=Severity.STOP if stop else Severity.CAUTION,
            )

    def thread(self) -> Iterator[Finding]:
        """Findings on the length of a screw's thread in the fin."""
        number, shown, wanted = self.number, self.job.shown, self.needs.thread
        plan, screw = self.job.plan, self.job.room.screws[number - 1]
        asked, where = plan.screws[number - 1], f"screws[{number}].length"
        wood = ENGAGEMENT_WOOD * asked.diameter
        if screw.misses:
            return
        if screw.thread < wanted:
            length = length_up(asked.length + wanted - screw.thread + _REST, shown)
            longer = f"Set {typed(where, length)} or more."
            yield SCREW_SHORT(
                where,
                f"Screw {number} reaches {shown.length(screw.thread)} above the pocket floor; "
                f"{shown.length(wanted)} of thread is required in the fin."
                if screw.thread > 0.0
                else f"Screw {number} ends {shown.length(-screw.thread)} below the pocket floor and does not reach the fin.",
                self.repaired(longer) if self.remedy is not None and self.remedy.found else longer,
                found=screw.thread,
                limit=wanted,
                unit="m",
            )
        elif asked.engagement is None and plan.fin.material is None and screw.thread < wood:
            materials = [typed("fin.material", one, f'"{one}"') for one in KEYS["fin.material"].choices]
            yield THREAD_SHORT_IN_WOOD(
                where,
                f"Screw {number} has {shown.length(screw.thread)} of thread in the fin. This is enough in metal, but "
                f"{shown.length(wood)} is required in wood or laminate.",
                f"Set [fin] material = {joined(materials, 'or')}, or use a longer screw.",
                found=screw.thread,
                limit=wood,
                unit="m",
            )

    def reach(self) -> Iterator[Finding]:
        """A finding on a screw that is longer than the fin."""
        shown, fin, screw = self.job.shown, self.job.plan.fin, self.job.room.screws[self.number - 1]
        if fin.root_z is not None and fin.tip_z is not None:
            tallest = fin.root_z - fin.tip_z
            fin_words = f"the fin is {shown.length(tallest)} from root to tip"
        else:
            tallest = TALLEST_UNKNOWN_FIN * self.job.bulb.body.length
            fin_words = f"few fins are taller than {shown.length(tallest)} for a bulb of this length"
        if screw.thread > tallest > 0.0:
            yield SCREW_LONG(
                f"screws[{self.number}].length",
                f"Screw {self.number} reaches {shown.length(screw.thread)} above the pocket floor; {fin_words}.",
                "Check its length and unit. If the rod does go through the fin into the hull, leave it as it is.",
                found=screw.thread,
                limit=tallest,
                unit="m",
            )
