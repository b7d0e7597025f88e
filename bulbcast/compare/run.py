"""Calculation of the grid row by row: in this process for a small grid, and in several processes for a large one.

The rows are in the order of the grid and do not depend on the number of processes.
"""

from __future__ import annotations

import math
import multiprocessing
import os
import signal
import sys
import threading
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import PurePath
from typing import TYPE_CHECKING, Literal

from bulbcast.bulb.views.outlines import body_outline
from bulbcast.compare.columns import (
    BOAT_COLUMNS,
    COLUMNS,
    DRAG_COLUMNS,
    SAILING_COLUMNS,
    SAILING_KEYS,
    SAILING_SECTIONS,
    Column,
    boat_figures,
    drag_figures,
    figures_of,
    sailing_figures,
)
from bulbcast.compare.grid import notes_on_replaced, varied_table
from bulbcast.compare.rows import Study, StudyRow, unique_findings
from bulbcast.compare.vary import Variation, grid_of
from bulbcast.drawing.shapes import Contour
from bulbcast.job import Job, OffsetsTable
from bulbcast.job.chain import Begun, begun, finished
from bulbcast.job.steps import Asked, Kept
from bulbcast.materials.water import Water, water_of_density, water_of_kind
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.reading import PlanReader, read_plan_table
from bulbcast.plan.sections import Plan
from bulbcast.quantities.frozen import replace
from bulbcast.sailing.drag import DragError, bulb_drag, drag_words

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from bulbcast.foundry.cooling.radial import Freezing, FreezingTimes
    from bulbcast.hull.read import HullRead
    from bulbcast.materials.learned import LearnedMetal
    from bulbcast.quantities import DisplayUnits

LARGE_GRID = 100
"""Minimum number of rows for which other processes are worth starting; each may take half a second to start."""
_MOST_WORKERS = 4
_SMALLEST_CHUNK, _LARGEST_CHUNK = 5, 100
_CHUNKS_A_WORKER = 2
_CHUNK_HERE = 50
"""Number of rows that this process calculates together before it reports progress."""
MOST_OUTLINES = 9
"""Maximum number of bulbs drawn in side view."""
FASTEST = 50.0
"""Maximum speed for drag; a higher speed must be in the wrong unit. [m/s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Base:
    """Data common to all rows, sent only once to each worker."""

    table: Mapping[str, object]
    variations: tuple[Variation, ...]
    source: str
    sha256: str
    speed: float | None
    offsets: Mapping[str, OffsetsTable]
    hull: HullRead | None = None
    outlined: frozenset[tuple[int, ...]] = frozenset()
    learned: Callable[[Plan], LearnedMetal | None] | None = None

    @property
    def columns(self) -> tuple[Column, ...]:
        found: tuple[Column, ...] = COLUMNS
        if "boat" in self.table:
            found += BOAT_COLUMNS
        if self.sails:
            found += SAILING_COLUMNS
        return found if self.speed is None else found + DRAG_COLUMNS

    @property
    def sails(self) -> bool:
        """Return whether the varied inputs require a curve of righting arms for each plan."""
        asked = any(one.section in SAILING_SECTIONS or one.name in SAILING_KEYS for one in self.variations)
        return asked and "rig" in self.table


def compare(
    table: Mapping[str, object],
    variations: Sequence[Variation],
    *,
    file: tuple[str, str],
    speed: float | None = None,
    offsets: Mapping[str, OffsetsTable] | None = None,
    hull: HullRead | None = None,
    learned: Callable[[Plan], LearnedMetal | None] | None = None,
    progress: Callable[[int, int], None] | None = None,
    workers: int | None = None,
) -> Study:
    """Calculate one plan over the full grid of one or two inputs.

    Args:
        table: The plan as read from TOML. [-]
        variations: Result of `read_variations`; the first input changes most slowly. [-]
        file: Name of the plan file for messages, and its sha256 in hexadecimal. [-]
        speed: Speed for drag; None if drag is not requested. [m/s]
        offsets: The tables of ordinates listed by `offsets_named`, keyed by the name as typed. [-]
        hull: The hull, if a file gives the boat's shape. [-]
        learned: Function that returns the results for a plan from a log of castings. It must be picklable. [-]
        progress: Called with the number of completed rows and the total, in ascending order. [-]
        workers: Number of processes; 1 means only this process. None means only this process for a small grid and, for
            a large one, as many processes as there are processors, but at most 4. A script that uses more than one
            process must keep its main code under `if __name__ == "__main__"`, as `multiprocessing` requires. [-]

    Returns:
        The study, including rows without a bulb, with their faults.

    Raises:
        PlanError: Every row has the same plan fault, or the speed is out of range.
    """
    _check_speed(speed)
    grid = grid_of(tuple(variations))
    base = _Base(
        table=table,
        variations=tuple(variations),
        source=file[0],
        sha256=file[1],
        speed=speed,
        offsets=dict(offsets or {}),
        hull=hull,
        outlined=outlined_of(grid),
        learned=learned,
    )
    rows = tuple(_worked(base, grid, progress or _say_nothing, workers))
    _refuse_what_every_row_has(rows)
    return Study(
        name=_name(base, rows),
        display_units=_display_units(table),
        variations=base.variations,
        columns=base.columns,
        rows=rows,
        speed=speed,
        notes=notes_on_replaced(table, base.variations) + _drag_notes(base, rows),
    )


def outlined_of(grid: Sequence[tuple[int, ...]]) -> frozenset[tuple[int, ...]]:
    """Return the rows whose bulbs are drawn: all if there are few, otherwise some of them, evenly spaced and including
    the first and the last.

    Args:
        grid: The study's grid. [-]
    """
    if len(grid) <= MOST_OUTLINES:
        return frozenset(grid)
    step = (len(grid) - 1) / (MOST_OUTLINES - 1)
    return frozenset(grid[round(number * step)] for number in range(MOST_OUTLINES))


def offsets_named(table: Mapping[str, object], variations: Sequence[Variation]) -> tuple[str, ...]:
    """Return the tables of ordinates that any row of the grid needs.

    Args:
        table: The plan as read from TOML. [-]
        variations: One or two inputs. [-]

    Returns:
        Their names as typed, without duplicates.
    """
    names: dict[str, None] = {}
    for at in grid_of(variations):
        bulb = varied_table(table, variations, at).get("bulb")
        typed = bulb.get("offsets") if isinstance(bulb, dict) and bulb.get("profile") == "offsets" else None
        if isinstance(typed, str):
            names[typed] = None
    return tuple(names)


def plan_with_boat(
    table: Mapping[str, object], variations: Sequence[Variation], *, source: str, sha256: str
) -> Plan | None:
    """Return one plan of the grid, including its boat, so that the hull file is read only once.

    Args:
        table: The plan as read from TOML. [-]
        variations: One or two inputs. [-]
        source: Name of the plan file for messages. [-]
        sha256: Checksum of the plan file. [-]

    Returns:
        The first plan that can be read; None if it has no boat, or if no row can be read.
    """
    if "boat" not in table:
        return None
    for at in grid_of(variations):
        try:
            return read_plan_table(varied_table(table, variations, at), source=source, sha256=sha256)
        except PlanError:
            continue
    return None


# Rows


class _Rows:
    """Calculates rows, reusing results that consecutive rows have in common."""

    def __init__(self, base: _Base) -> None:
        self._base = base
        self._kept, self._reader = Kept(), PlanReader(source=base.source, sha256=base.sha256)
        self._running: FreezingTimes | None = None

    def __call__(self, places: Sequence[tuple[int, ...]]) -> list[StudyRow]:
        """Calculate rows in two passes. The first stops before calculating the running time of the metal; all running
        times are then calculated together, and the second pass completes the rows."""
        halves = [self._begun(at) for at in places]
        asked = [one for half in halves if isinstance(half, Begun) for one in half.running_asked]
        if asked:
            from bulbcast.foundry.cooling.radial import FreezingTimes  # only a plan with a mould needs it

            self._running = self._running or FreezingTimes()
            self._running.foresee(asked)
        return [
            _row(self._base, at, half, self._kept, self._running)
            for at, half in zip(places, halves, strict=True)
        ]

    def _begun(self, at: tuple[int, ...]) -> Begun | tuple[Fault, ...]:
        """Return the result of the first half of a row's calculation, or the faults that prevent it."""
        base = self._base
        try:
            plan = self._reader.read(varied_table(base.table, base.variations, at))
            if base.learned is not None:
                plan = replace(plan, learned=base.learned(plan))
            table = None if plan.bulb.offsets is None else base.offsets.get(plan.bulb.offsets)
            standing: Literal["briefly", "no"] = "briefly" if base.sails else "no"
            asked = Asked(offsets=table, hull=base.hull, worded=False, remedies=False, standing=standing)
            return begun(plan, asked, self._kept)
        except PlanError as error:
            return error.faults


def _row(
    base: _Base,
    at: tuple[int, ...],
    half: Begun | tuple[Fault, ...],
    kept: Kept,
    running: Freezing | None,
) -> StudyRow:
    try:
        if not isinstance(half, Begun):
            raise PlanError(half)
        plan, job = half.plan, finished(half, kept, running)
    except PlanError as error:
        return StudyRow(at=at, values=(None,) * len(base.columns), faults=error.faults)
    values: tuple[float | None, ...] = figures_of(job)
    if "boat" in base.table:
        values += boat_figures(job)
    if base.sails:
        values += sailing_figures(job)
    remark = ""
    if base.speed is not None:
        drag, remark = _drag(plan, job, base.speed)
        values += drag
    findings = tuple((finding.severity, finding.code) for finding in job.findings)
    outline: Contour = ()
    if at in base.outlined:
        body = job.bulb.body
        outline = body_outline(body, 1.0 / math.sqrt(body.width_to_height))
    return StudyRow(at=at, values=values, findings=unique_findings(findings), remark=remark, outline=outline)


def _drag(plan: Plan, job: Job, speed: float) -> tuple[tuple[float | None, ...], str]:
    water = _water(plan)
    body = job.bulb.body
    try:
        drag = bulb_drag(
            length=body.length,
            fineness=body.fineness,
            wetted_area=job.bulb.surface.area,
            speed=speed,
            water_density=water.density,
            kinematic_viscosity=water.kinematic_viscosity,
        )
    except DragError as error:
        return (None,) * len(DRAG_COLUMNS), str(error)
    return drag_figures(drag), ""


def _water(plan: Plan) -> Water:
    return (
        water_of_density(plan.water.density) if plan.water.kind == "given" else water_of_kind(plan.water.kind)
    )


# Processes

_IN_WORKER: list[_Rows] = []


def _worked(
    base: _Base,
    grid: list[tuple[int, ...]],
    progress: Callable[[int, int], None],
    workers: int | None,
) -> Iterator[StudyRow]:
    count = _workers_for(len(grid), workers)
    done: list[StudyRow] = []
    if count > 1:
        for rows in _by_processes(base, grid, count):
            done += rows
            progress(len(done), len(grid))
    # Rows that the other processes have not completed are calculated here.
    yield from done
    here = _Rows(base)
    for start in range(len(done), len(grid), _CHUNK_HERE):
        for number, row in enumerate(here(grid[start : start + _CHUNK_HERE]), start=start + 1):
            progress(number, len(grid))
            yield row


def _workers_for(rows: int, asked: int | None) -> int:
    if multiprocessing.parent_process() is not None:
        # This is already a process of a pool: no pools inside pools.
        return 1
    if asked is not None:
        return max(1, min(asked, rows))
    if rows < LARGE_GRID:
        return 1
    usable = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return min(usable, _MOST_WORKERS)


def _by_processes(base: _Base, grid: list[tuple[int, ...]], workers: int) -> Iterator[list[StudyRow]]:
    """Yield the rows in order, chunk by chunk; this process calculates some of them. The sequence ends early if no
    other process can be started or if one was killed."""
    from concurrent.futures import ProcessPoolExecutor  # only a large grid needs this import

    # Equal numbers for all workers, so that they finish together.
    each = max(_CHUNKS_A_WORKER, math.ceil(len(grid) / (workers * _LARGEST_CHUNK)))
    size = max(math.ceil(len(grid) / (workers * each)), _SMALLEST_CHUNK)
    chunks = [grid[start : start + size] for start in range(0, len(grid), size)]
    here, own = _Rows(base), iter(chunks[::workers])
    ready: list[list[StudyRow]] = []
    others = set(multiprocessing.active_children())
    pool, done = None, False
    try:
        pool = ProcessPoolExecutor(
            max_workers=max(min(workers, len(chunks)) - 1, 1),
            mp_context=multiprocessing.get_context(_start_method()),
            initializer=_begin,
            initargs=(base,),
        )
        with _interrupts_held():
            results = {i: pool.submit(_chunk, one) for i, one in enumerate(chunks) if i % workers}
        for i in range(len(chunks)):
            # This process does not wait for slower workers while it has work left to do.
            while (i % workers == 0 and not ready) or (i % workers and not results[i].done()):
                chunk = next(own, None)
                if chunk is None:
                    break
                ready.append(here(chunk))
            yield results[i].result() if i % workers else ready.pop(0)
        done = True
    except (OSError, RuntimeError):
        # If a row caused the error, it occurs again when the row is repeated here.
        return
    finally:
        if not done:
            # Interrupted: do not wait for the workers.
            for worker in set(multiprocessing.active_children()) - others:
                worker.terminate()
        if pool is not None:
            pool.shutdown(wait=True, cancel_futures=True)


def _start_method() -> str:
    """Return the start method for processes: a copy of this process if that is safe, which saves half a second of
    imports."""
    return "fork" if sys.platform == "linux" and threading.active_count() == 1 else "spawn"


@contextmanager
def _interrupts_held() -> Iterator[None]:
    """Blocks Ctrl-C while processes are started, so that they never receive it. The signal is sent to the whole group,
    and only the process that asked for the rows should respond."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _begin(base: _Base) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _IN_WORKER[:] = [_Rows(base)]


def _chunk(places: list[tuple[int, ...]]) -> list[StudyRow]:
    return _IN_WORKER[0](places)


def _say_nothing(done: int, total: int) -> None:
    pass


# The study as a whole


def _check_speed(speed: float | None) -> None:
    if speed is None or 0.0 < speed <= FASTEST:
        return
    expected = f"a speed above 0 and up to {FASTEST:g} m/s"
    remedy = "Correct the figure, and check its unit."
    raise PlanError([Fault("--speed", "speed", f"{speed:g} m/s", expected, remedy)])


def _refuse_what_every_row_has(rows: Sequence[StudyRow]) -> None:
    """Raise the faults that all rows have in common, which no varied input can fix."""
    common = rows[0].faults
    for row in rows[1:]:
        if not common:
            return
        common = tuple(fault for fault in common if fault in row.faults)
    if common:
        raise PlanError(common)


def _name(base: _Base, rows: Sequence[StudyRow]) -> str:
    """Return the name of the plan, from the first row that can be read."""
    for row in rows:
        try:
            table = varied_table(base.table, base.variations, row.at)
            return read_plan_table(table, source=base.source, sha256=base.sha256).name
        except PlanError:
            continue
    name = base.table.get("name")
    return name if isinstance(name, str) else PurePath(base.source).stem


def _display_units(table: Mapping[str, object]) -> DisplayUnits:
    return "imperial" if table.get("display_units") == "imperial" else "metric"


def _drag_notes(base: _Base, rows: Sequence[StudyRow]) -> tuple[str, ...]:
    if base.speed is None:
        return ()
    place = [column.key for column in base.columns].index("drag.reynolds")
    reynolds = [value for row in rows if (value := row.values[place]) is not None]
    return (drag_words(min(reynolds), max(reynolds)),) if reynolds else ()
