"""What only some plans have, each joined to the job where its section stands: a Job in, a Job out.

Every function loads its room's own modules when it is called, so that a plan without its section does not pay for them.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from bulbcast.ballast.structure_rules import check_kind
from bulbcast.bulb.fastening.pocket_rules import check_rake
from bulbcast.findings import Finding
from bulbcast.pattern_shop.results import ShopResults as Job

if TYPE_CHECKING:
    pass


def with_boat_told(job: Job) -> Job:
    """What the checks say of the boat.

    Args:
        job: With a boat or without.
    """
    plan, boat = job.plan, job.boat
    grounded = None if plan.strength is None else plan.strength.grounded_mass
    kind = check_kind(
        plan.boat,
        bulb_mass=job.bulb.mass,
        boat_mass=grounded if boat is None else boat.total_mass,
        shown=job.shown,
    )
    kind += _rake(job)
    if boat is None:
        return job.joined(findings=kind)
    from bulbcast.ballast.rules import boat_findings

    return job.joined(findings=boat_findings(plan, boat, job.shown) + kind)


def with_fittings_told(job: Job) -> Job:
    """What the checks say of pins, studs and a through-going blade.

    Args:
        job: With them or without.
    """
    if job.fittings is None:
        return job
    from bulbcast.bulb.fastening.fittings_work import fitting_findings

    return job.joined(
        findings=fitting_findings(
            job.plan, job.bulb, job.fittings, job.wish.studs, job.stud_lifts, job.wall_wanted, job.shown
        )
    )


def with_standing(job: Job, how: Literal["whole", "briefly", "no"]) -> Job:
    """Righting arms, and what the wind does.

    Args:
        job: With a boat or without.
        how: "briefly" stops at 60 degrees and leaves other bulbs out.
    """
    if how == "no" or job.boat is None:
        return job
    from bulbcast.sailing.findings import standing_findings
    from bulbcast.sailing.sailing_work import standing_defaults
    from bulbcast.sailing.work import standing_of

    stands = standing_of(job.plan, job.boat, briefly=how == "briefly")
    return job.joined(
        standing=stands,
        gm=job.gm if stands.curve is None else stands.curve.gm,
        defaults=standing_defaults(job.plan, stands.sailing, job.shown),
        findings=standing_findings(job.plan, job.boat, stands, job.shown),
    )


def with_strength(job: Job, *, search: bool) -> Job:
    """Fin and joint under their loads, and the limits that the plan types in.

    Args:
        job: With [strength] or [limits], or without.
        search: Whether to search for what would mend a limit.
    """
    plan = job.plan
    if plan.strength is None and plan.limits is None:
        return job
    from bulbcast.joint.judged import judged

    boat_mass = None if job.boat is None else job.boat.total_mass
    found = judged(
        plan, job.bulb, job.wish, job.room, boat_mass, job.shown, search=search, deeper=_deeper(job)
    )
    return job.joined(
        strength=found.strength, limits=found.limits, defaults=found.defaults, findings=found.findings
    )


def _rake(job: Job) -> tuple[Finding, ...]:
    """Whether pocket and screws lean as the fin does, where its root is known."""
    fin = job.plan.fin
    if fin.root_chord is None or fin.root_leading_edge_x is None or fin.root_z is None:
        return ()
    span = fin.root_z - fin.tip_z
    if span <= 0.0:
        return ()

    root_chord, leading = fin.root_chord, fin.root_leading_edge_x

    def lean(fraction: float) -> float:
        """Of the line at that fraction of every chord, tip aft is positive. [rad]"""
        root = leading + fraction * root_chord
        return math.atan2(fin.tip_leading_edge_x + fraction * fin.tip_chord - root, span)

    return check_rake(
        rake=fin.rake, fore=lean(0.0), aft=lean(1.0), axis=lean(fin.elastic_axis), shown=job.shown
    )


def _deeper(job: Job) -> float:
    """How much deeper than her design line she floats over the bulb's underside; never less than zero. [m]"""
    if job.boat is None or job.boat.lies is None:
        return 0.0
    lies, length = job.boat.lies, job.boat.start.hull.line.length
    share = job.bulb.underside_x / length
    return max(lies.deeper_fore + (lies.deeper_aft - lies.deeper_fore) * share, 0.0)


def with_templates_and_ribs(job: Job) -> Job:
    """Spaces of the templates held against the pattern, and the ribs of the foils.

    Args:
        job: With [templates] or [ribs], or without.

    Raises:
        PlanError: The spaces give sheets without end.
    """
    if job.plan.templates is not None:
        from bulbcast.pattern_shop.templates.surfaces import require_spacing

        require_spacing(job.plan, job.bulb.body, job.pattern)
    if job.plan.ribs is None:
        return job
    from bulbcast.fin.ribs_work import ribs_findings, ribs_job

    ribs = ribs_job(job.plan)
    return job.joined(ribs=ribs, findings=ribs_findings(ribs, job.shown))


def with_resin(job: Job) -> Job:
    """The same bulb of lead shot in resin.

    Args:
        job: With [resin] or without.
    """
    if job.plan.resin is None:
        return job
    from bulbcast.foundry.resin.work import resin_findings, resin_job

    resin = resin_job(job.plan, job.wish, job.bulb, job.cast, job.mould, job.shown)
    return job.joined(resin=resin, findings=resin_findings(resin, job.plan.resin, job.shown))


def with_pour(job: Job) -> Job:
    """The same job as one that is to be poured: a plan that says nothing of mould and melt is on hold for that.

    Args:
        job: The results.
    """
    if job.melting is not None:
        return job
    from bulbcast.foundry.gating.rules import check_no_mould

    return job.joined(findings=(check_no_mould(),))


def with_cooling(
    job: Job, *, cells: int | None = None, progress: Callable[[float], None] = lambda done: None
) -> Job:
    """The same job with its cooling simulated, its findings and defaults joined to the others.

    The times of its gating are then those of the simulation, so that nothing is said two ways.

    Seconds of work: no part of `run`, and scipy is loaded for it alone.

    Args:
        job: The results.
        cells: Across the largest section; None: by the kind of grid.
        progress: Told how far it has come, 0 to 1.
    """
    from bulbcast.foundry.cooling.work import cooling_of

    seen, told, taken = cooling_of(job, cells=cells, progress=progress)
    job = job.joined(cooling=seen, defaults=taken, findings=told)
    melting = job.melting
    if melting is None or melting.gating is None:
        return job
    gating = replace(
        melting.gating,
        thick_time=seen.frozen,
        riser_time=seen.frozen_feeder,
        leave_alone=seen.leave_alone,
        simulated=True,
    )
    return replace(job, melting=replace(melting, gating=gating))


def with_pattern_shop(job: Job) -> Job:
    """The pattern's pieces as planned: what can be told without the cut solid.

    Args:
        job: With [parting], [printer] or [frame], or without.
    """
    plan = job.plan
    if plan.parting is None and plan.printer is None and plan.frame is None:
        return job
    from bulbcast.pattern_shop.work import planned_shop, with_shop

    return with_shop(job, planned_shop(job))
