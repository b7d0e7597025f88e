"""Command-line options for the drying log: readings, the current time and the test bar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from bulbcast.files.drying_log import entry_of, value_of
from bulbcast.foundry.drying.log import KNOWN_PURITY, DryingLog
from bulbcast.foundry.mould.design import mix_of
from bulbcast.foundry.mould.work import weighed_parts
from bulbcast.materials.plaster import purity_of_test_bar, purity_spread_of_test_bar
from bulbcast.plan.faults import Faults, PlanError
from bulbcast.plan.sections import Plan
from bulbcast.quantities import Dimension, Shown, quoted
from bulbcast.quantities.moments import A_MOMENT, moment_of
from bulbcast.quantities.typed import mass_up


def present(
    at: str | None,
    log: DryingLog | None,
    typed: Sequence[tuple[str, str]],
    *,
    plan: Plan,
    room: str | None,
    moving_air: bool | None,
) -> datetime:
    """Return the time at which the drying is judged, as typed or from the computer's clock, and check that the plan has
    what the options need.

    Args:
        at: Time as typed, or None.
        log: Log or None; it decides whether times have a zone.
        typed: Readings as typed.
        plan: The plan.
        room: Temperature of the air as typed, or None.
        moving_air: Whether the air was moving, or None.

    Returns:
        The time, with a zone if the log's times have one.

    Raises:
        PlanError: The options have faults; the error lists all of them.
    """
    faults = Faults(plan.source)
    if not weighed_parts(plan):
        sand = plan.mould is not None
        faults.add(
            "[mould]",
            "a mould of sand" if sand else "nothing",
            "a plaster mould, which is weighed while it dries",
            "For a sand mould, give the moisture of the sand as sand_moisture under [mould]."
            if sand
            else 'Add [mould] with material = "plaster".',
        )
    if (room is not None or moving_air is not None) and not any(what == "weighed" for what, _ in typed):
        faults.add(
            "--room" if room is not None else "--moving-air",
            "details of the air without a weighing",
            "these details together with a weighing made in that air",
            'Add --weighed "PART=MASS".',
        )
    times = [one.rpartition("@")[2].strip() for _, one in typed if "@" in one]
    known = [time for time in map(moment_of, times) if time is not None]
    zoned = (
        log.entries[0].time.tzinfo is not None if log and log.entries else any(one.tzinfo for one in known)
    )
    moment = _moment_at(at, zoned, faults)
    faults.end()
    return moment


def judged_at(at: str | None, log: DryingLog | None, *, plan: Plan) -> datetime:
    """Return the time at which a pour is judged, as typed or from the computer's clock.

    Args:
        at: Time as typed, or None.
        log: Log or None; it decides whether times have a zone.
        plan: The plan.

    Returns:
        The time, with a zone if the log's times have one.

    Raises:
        PlanError: `at` is not a time, or it has a time zone and the log's times have none, or the reverse.
    """
    faults = Faults(plan.source)
    moment = _moment_at(at, any(one.time.tzinfo for one in log.entries) if log else False, faults)
    faults.end()
    return moment


def _moment_at(at: str | None, zoned: bool, faults: Faults) -> datetime:
    """Time as typed or from the computer's clock, with a zone if the log's times have one."""
    if at is None:
        return datetime.now().astimezone() if zoned else datetime.now()
    moment = moment_of(at.strip())
    if moment is None:
        faults.add("--at", quoted(at), A_MOMENT, "Write the time in that form.")
    elif zoned != (moment.tzinfo is not None):
        faults.add(
            "--at",
            quoted(at),
            f"a time {'with' if zoned else 'without'} a time zone, like the times in the log",
            "Write it in the same form as the times in the log.",
        )
    return moment or datetime.now()


def entries_of(
    typed: Sequence[tuple[str, str]],
    *,
    parts: Sequence[str],
    now: datetime,
    air: str | None,
    moving_air: bool | None,
    source: str,
) -> tuple[str, ...]:
    """Return log lines for typed readings.

    Args:
        typed: Kind of reading, as named in the log, and its text "part=reading@time"; without a time, the current time
            is used.
        parts: Names of the mould's parts.
        now: Time for readings without one.
        air: Temperature of the air round the part as typed, or None.
        moving_air: Whether that air was moving; None if not given.
        source: Name of the plan in messages.

    Returns:
        Lines without line endings, in the order typed.

    Raises:
        PlanError: The options have faults; the error lists all of them.
    """
    faults = Faults(source)
    lines: list[str] = []
    stretch = "" if moving_air is None else "yes" if moving_air else "no"
    for what, text in typed:
        option = f"--{what.replace(' ', '-')}"
        part, equals, rest = text.partition("=")
        reading, at, time = rest.rpartition("@") if "@" in rest else (rest, "", "")
        if not equals or not reading.strip():
            example = "62 C" if what == "temperature" else "3120 g"
            remedy = f'Write {option} "{parts[0]}={example}", say.'
            faults.add(option, quoted(text), "part=reading or part=reading@time", remedy)
            continue
        cells = [
            time.strip() if at else now.isoformat(timespec="minutes"),
            what,
            part.strip(),
            reading.strip(),
            "" if air is None or what != "weighed" else air.strip(),
            stretch if what == "weighed" else "",
        ]
        if any("," in cell or not cell.isprintable() for cell in cells):
            remedy = "Remove the comma. Decimals are written with a decimal point."
            faults.add(option, quoted(text), "part=reading or part=reading@time, without commas", remedy)
        elif entry_of(cells, parts, faults, key=option) is not None:
            lines.append(",".join(cells))
    faults.end()
    return tuple(lines)


def test_bar_line(plan: Plan, just_set: str, dry: str) -> str:
    """Return the lines to type under [mould] for a test bar of the mould's mix.

    Args:
        plan: The plan, with a plaster mould.
        just_set: Mass of the bar just after setting, as typed.
        dry: Mass of the bar after drying in air to a constant mass, as typed.

    Raises:
        PlanError: The masses cannot be read, or do not give a purity.
    """
    section = plan.mould
    mix = None if section is None else mix_of(section)
    if section is None or mix is None:
        raise ValueError("the plan has no plaster mould")
    faults = Faults(plan.source)
    wet, end = (
        value_of(text, Dimension.MASS, faults, key="--test-bar", fix="Write a mass.")
        for text in (just_set, dry)
    )
    if wet is None or end is None:
        raise PlanError(faults.found)
    purity = purity_of_test_bar(just_set=wet, dry=end, water=mix.water, sand=mix.sand)
    if not 0.5 <= purity <= 1.0:
        low, high = (replace(mix, purity=one).air_share * wet for one in (0.5, 1.0))
        faults.add(
            "--test-bar",
            f"{just_set} and {dry}, a purity of {100.0 * purity:.0f} %",
            f"a dry mass between {1e3 * low:.1f} g and {1e3 * high:.1f} g, the range for 50 to 100 % hemihydrate",
            "If it is heavier, dry it longer. Check that both weighings are of the same bar of this mix.",
        )
        faults.end()
    spread = purity_spread_of_test_bar(
        just_set=wet, dry=end, water=mix.water, sand=mix.sand, scale_spread=section.scale_spread or 0.0
    )
    digits = 1 if spread >= 0.005 else 2
    typed = (
        f'The test bar gives purity = "{100.0 * purity:.{digits}f} %" with '
        f'purity_spread = "{100.0 * spread:.{digits}f} %".'
    )
    if spread <= KNOWN_PURITY:
        return typed
    heavier = mass_up(wet * spread / KNOWN_PURITY, Shown(plan.display_units))
    return (
        f"{typed} With a spread this large, you cannot judge when the mould is dry. Cast a bar of {heavier} or more, "
        "or weigh it on a finer scale and give its spread as scale_spread under [mould]."
    )
