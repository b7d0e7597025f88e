"""Text, JSON and log entry for a weighed casting."""

from __future__ import annotations

from collections.abc import Sequence

from bulbcast import __version__
from bulbcast.confidence.chapter import drilling_objects, drilling_parts
from bulbcast.confidence.hollow import Void
from bulbcast.confidence.results import ConfidenceResults
from bulbcast.confidence.weighed import Weighed
from bulbcast.findings import Finding
from bulbcast.quantities import Shown, in_one_unit
from bulbcast.quantities.figures import signed
from bulbcast.report.as_terminal import chapter_lines
from bulbcast.report.chapter import Chapter, Data, Line, Part, Table, Words, data_of
from bulbcast.report.page import Page, finding_lines, printable
from bulbcast.report.values import Json, finding_object, inputs_object, values_of

FORMAT = "bulbcast weigh"
_MASSES = ("as cast", "filed", "cut", "in water")


def weigh_text(
    job: ConfidenceResults,
    found: Weighed,
    findings: Sequence[Finding],
    *,
    logged: str | None,
    colour: bool,
    width: int,
) -> str:
    """Describe a weighed casting.

    Args:
        job: Results of the plan.
        found: Results for the casting.
        findings: Findings on the casting.
        logged: Name of the log; None if the casting was not logged.
        colour: Whether to colour the text with ANSI codes.
        width: Width of the terminal, in characters. [-]
    """
    page = Page(colour=colour, width=width)
    page.wrapped(f"{printable(job.plan.name)}: casting weighed", code="1")
    page.line()
    page.wrapped(_verdict(found, job), code="1")
    for finding in findings:
        finding_lines(page, finding, finding.message, finding.remedy)
    chapter_lines(page, _chapter(job, found))
    page.line()
    page.wrapped("Not logged." if logged is None else f"Logged in {logged}.")
    return page.text()


def weigh_object(
    job: ConfidenceResults, found: Weighed, findings: Sequence[Finding], log: str | None
) -> Json:
    """Return the results of `bulbcast weigh` as one JSON object.

    Args:
        job: Results of the plan.
        found: Results for the casting.
        findings: Findings on the casting.
        log: Name of the log; None if the casting was not logged.
    """
    return {
        "name": job.plan.name,
        **data_of(_chapter(job, found)),
        "findings": [finding_object(one) for one in findings],
        "log": log,
        "meta": {
            "format": FORMAT,
            "version": __version__,
            "plan_sha256": job.plan.sha256,
            "inputs": inputs_object(job),
        },
    }


def log_object(
    job: ConfidenceResults, found: Weighed, kind: tuple[str, str, str], *, again: bool, before: int
) -> Json:
    """Return the log entry of a casting: time, kind, typed options, and the results from this casting alone.

    Args:
        job: Results of the plan.
        found: Results for the casting.
        kind: Alloy, pattern-making method, and mould.
        again: Whether this is the last casting, measured again.
        before: Number of castings that the log contained when the pattern was made. [-]
    """
    of_contraction, of_density = found.says_contraction, found.says_density
    return {
        "when": found.weighing.when,
        "plan": job.plan.name,
        "plan_sha256": job.plan.sha256,
        "alloy": kind[0],
        "made_by": kind[1],
        "mould": kind[2],
        "again": again or None,
        "castings_before": before,
        "mould_expansion": job.plan.pattern.mould_expansion,
        "contraction": None if of_contraction is None else of_contraction[0],
        "contraction_sd": None if of_contraction is None else of_contraction[1],
        "density_kg_m3": None if of_density is None else of_density[0],
        "density_sd_kg_m3": None if of_density is None else of_density[1],
        "hangs_kg": found.hung[0],
        "hangs_sd_kg": found.hung[1],
        "typed": dict(found.weighing.typed),
    }


def _verdict(found: Weighed, job: ConfidenceResults) -> str:
    shown = job.shown
    hangs = f"{shown.mass(found.hung[0])}, give or take {shown.mass(found.hung[1])}"
    target = shown.mass(job.bulb.mass)
    if found.light:
        return f"The casting is too light: its hung mass will be {hangs}; the target is {target}. {_adding(found, job)}"
    if found.over <= found.hung[1]:
        too_near = (
            "These readings cannot tell the two apart, so do not drill yet. Weigh the casting again when it has been "
            "filed and cut."
        )
        enough = "According to these readings, nothing needs to be drilled out."
        done = found.over <= 0.0 or any(one.name == "cut" for one in found.weighing.readings)
        return f"The hung mass will be {hangs}; the target is {target}. {enough if done else too_near}"
    return f"The hung mass will be {hangs}: drill out {shown.mass(found.over)} to reach {target}."


def _adding(found: Weighed, job: ConfidenceResults) -> str:
    """Suggest how to add mass: less filing, or lead in place of filler over the screws."""
    shown, short = job.shown, -found.over
    plugs = sum(one.mass for one in found.plugs)
    per_layer = job.wish.cast_density * job.bulb.surface.area * 1e-4
    cut = any(one.name in ("filed", "cut") for one in found.weighing.readings)
    words = []
    if not cut:
        words.append(
            f"File off less: each {shown.length(1e-4)} left on the whole surface adds {shown.mass(per_layer)}"
        )
    if plugs > 0.0:
        words.append(
            f"plug the recesses over the screws with lead in place of filler, which adds {shown.mass(plugs)}"
        )
    if short > 1.001 * plugs:
        words.append(
            f"make up {'the rest of ' if words else ''}the {shown.mass(short)} shortfall with trim lead on the fin or "
            "in the boat"
        )
    text = "; ".join(words)
    return f"{text[:1].upper()}{text[1:]}."


def _chapter(job: ConfidenceResults, found: Weighed) -> Chapter:
    shown = job.shown
    parts: list[Part] = [
        Table(
            heads=("measured", "reading", "planned value", "give or take"),
            rows=[
                (one.name, *(_as_read(one.name, value, shown) for value in (one.value, *expected)))
                for one, expected in zip(found.weighing.readings, found.expected, strict=True)
            ],
            figures=(1, 2, 3),
        ),
        Table(heading="Results of weighing", rows=list(_lines(job, found))),
        Data(
            values={
                "readings": [
                    {"name": one.name, "value": one.value, "sd": one.sd, "expected": mean, "expected_sd": sd}
                    for one, (mean, sd) in zip(found.weighing.readings, found.expected, strict=True)
                ],
                "sprue_kg": found.weighing.sprue,
                "drilling": drilling_objects(found.schedule),
                "drilling_left_kg": found.schedule.left,
                "plugs": [
                    values_of(one, "screw", "x_m", "diameter_m", "length_m", "mass_kg") for one in found.plugs
                ],
                "void": None if found.void is None else _void_object(found.void),
            }
        ),
        *drilling_parts(job, found.schedule, heading="Drilling for this casting"),
    ]
    if found.light and found.plugs:
        parts.append(
            Table(
                heads=("lead plug over", "from the nose", "diameter", "length", "adds"),
                rows=[
                    (
                        f"screw {one.screw}",
                        shown.length(one.x),
                        shown.length(one.diameter),
                        shown.length(one.length),
                        shown.mass(one.mass),
                    )
                    for one in found.plugs
                ],
                figures=(1, 2, 3, 4),
                heading="Lead plugs, with the mass of the filler they replace deducted",
            )
        )
    if found.schedule.left > 1e-4 * job.bulb.mass:
        left = shown.mass(found.schedule.left)
        parts.append(Words(text=f"There is no room to drill out the last {left}. File it off all over."))
    if found.void is not None:
        parts.append(Words(text=_void_words(found, shown)))
    return Chapter(name="weighed", heading="Measured", at="weighed", parts=parts)


def _lines(job: ConfidenceResults, found: Weighed) -> Sequence[Line]:
    shown = job.shown
    # All three have the same unit: a spread alone would be mistaken for the density of a gas.
    densities = (*found.density, job.alloy.density)
    _, spread, planned = in_one_unit([tuple(map(shown.density, densities))])[0]
    lines = [
        Line(
            "Contraction",
            shown.percent(found.contraction[0]),
            f"give or take {shown.percent(found.contraction[1])}; the plan gives {shown.percent(job.pattern.contraction)}",
            "contraction",
            found.contraction[0],
        ),
        Line("", "", name="contraction_sd", value=found.contraction[1]),
        Line(
            "Density",
            shown.density(found.density[0]),
            f"give or take {spread}; the plan gives {planned}",
            "density_kg_m3",
        ),
        Line("", "", name="density_sd_kg_m3", value=found.density[1]),
        Line(
            "Hung mass",
            shown.mass(found.hung[0]),
            f"give or take {shown.mass(found.hung[1])}, before drilling",
            "hangs_kg",
        ),
        Line("", "", name="hangs_sd_kg", value=found.hung[1]),
        Line("Excess over the target", signed(shown.mass(found.over)), "", "over_kg", found.over),
        Line(
            "Start of the pocket",
            shown.length(found.pocket_x),
            f"from the nose to the fin's leading edge, {signed(shown.length(found.pocket_moved))} compared with the plan",
            "pocket_from_nose_m",
        )
        if not job.cast.cored.pocket
        else Line(
            "Mass centre",
            signed(shown.length(found.centre_off[0])),
            "aft of its planned position on the fin",
            "centre_off_m",
            found.centre_off[0],
        ),
        Line("", "", name="centre_sd_m", value=found.centre_off[1]),
    ]
    if found.sinkage is not None:
        lines.append(
            Line(
                "Sinkage with the undrilled bulb",
                signed(shown.length(found.sinkage)),
                "deeper than the design waterline",
                "sinkage_m",
                found.sinkage,
            )
        )
    if found.trim is not None:
        lines.append(
            Line(
                "Trim with the undrilled bulb",
                signed(shown.length(found.trim)),
                "by the stern over the boat's length",
                "trim_m",
            )
        )
    return lines


def _void_object(void: Void) -> Json:
    return {
        **values_of(void.hollow, "likely", "share", "x_m", "x_low_m", "x_high_m", "gain"),
        **values_of(void, "share_sd", "limit", "smallest"),
        "better": [values_of(one, "what", "smallest") for one in void.better],
    }


def _void_words(found: Weighed, shown: Shown) -> str:
    void = found.void
    if void is None:
        return ""
    hollow = void.hollow
    if not hollow.likely or hollow.x is None or hollow.x_low is None or hollow.x_high is None:
        words = "Nothing points to a hidden hollow."
    else:
        words = (
            f"A hidden hollow is likely: about {shown.percent(hollow.share)} of the volume, near "
            f"{shown.length(hollow.x)} from the nose (with 95 % probability, between {shown.length(hollow.x_low)} and "
            f"{shown.length(hollow.x_high)}). Tap there and listen, and drill there first."
        )
    words += (
        f" Four times in five, these readings reveal a hollow of at least {shown.percent(void.smallest)} of the volume "
        "at the end farther from the balance point. They wrongly indicate a hollow in one sound casting in twenty."
    )
    if void.better:
        ways = [f"{shown.percent(one.smallest)} or more with {one.what}" for one in void.better[:3]]
        words += f" Better or additional readings would reveal smaller hollows: {'; '.join(ways)}."
    return words


def _as_read(name: str, value: float, shown: Shown) -> str:
    return shown.mass(value) if name in _MASSES else shown.length(value)
