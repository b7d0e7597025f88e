"""`bulbcast weigh FILE`: comparison of a real casting with its plan."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import click

from bulbcast.cli.outcome import print_text, reporting

_MASS = "For example '2.61 kg' or '2.61 kg +- 1 g'."


@click.command(name="weigh")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--as-cast",
    metavar="MASS",
    help=f"Mass as it comes out of the mould, before any filing or cutting. {_MASS}",
)
@click.option(
    "--sprue", metavar="off|on|MASS", help="Whether the sprue is still on the casting. Default: off."
)
@click.option("--filed", metavar="MASS", help="Mass when filed to shape, with nothing cut or drilled yet.")
@click.option(
    "--cut", metavar="MASS", help="Mass with the pocket, holes and recesses cut, but nothing filled."
)
@click.option(
    "--in-water", metavar="MASS", help="Mass when hung in fresh water, fully submerged, before filing."
)
@click.option(
    "--water-temperature", metavar="TEMPERATURE", help="Temperature of the fresh water. Default: 20 C."
)
@click.option("--length", metavar="LENGTH", help="Length from end to end, before filing.")
@click.option("--diameter", metavar="LENGTH", help="Width at the largest section, before filing.")
@click.option(
    "--balance",
    metavar="LENGTH",
    help="Distance from the nose to the point where the casting balances on an edge, before filing.",
)
@click.option(
    "--bar",
    metavar="LENGTH",
    help="For a test bar instead of a casting: size of the bar's smaller face, as cast.",
)
@click.option(
    "--bar-pattern",
    metavar="LENGTH",
    help="Size of the smaller face of the test bar's pattern. Default: as drawn.",
)
@click.option("--bar-mass", metavar="MASS", help="Mass of the test bar.")
@click.option(
    "--bar-in-water", metavar="MASS", help="Mass of the test bar when hung in fresh water, fully submerged."
)
@click.option("--when", metavar="TIME", help="Date of the casting, such as 2026-05-03. Default: now.")
@click.option(
    "--again",
    is_flag=True,
    help="The readings are from the last casting of this plan, measured again. Both sets count as one casting.",
)
@click.option(
    "--new-pattern",
    is_flag=True,
    help="The pattern is new since the last casting. Default: the same pattern.",
)
@click.option("--no-log", is_flag=True, help="Do not add the casting to the log next to the plan.")
@click.option("--csv", type=click.Path(path_type=Path), help="Also write the complete log as a table.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object and nothing else.")
def command(
    file: Path,
    again: bool,
    new_pattern: bool,
    no_log: bool,
    csv: Path | None,
    as_json: bool,
    **typed: str | None,
) -> None:
    """Compare a real casting with its plan: density, contraction, and the drilling needed to reach the target.

    You can add a standard deviation to each reading, as in "2.61 kg +- 1 g". Every casting is logged in castings.toml
    next to the plan. The log makes the next plan with the same alloy, pattern and mould more accurate.
    """
    if again and new_pattern:
        raise click.UsageError(
            "give --again for the same casting or --new-pattern for one from a new pattern, but not both"
        )
    with reporting() as kept:
        from bulbcast.confidence.weigh_rules import weigh_findings
        from bulbcast.confidence.weighed_chapter import log_object, weigh_object, weigh_text
        from bulbcast.files.casting_log import LOG, export_csv, kind_of, log_casting
        from bulbcast.files.weigh_typed import BAR, load_weighing
        from bulbcast.report.values import json_text

        options = {name.replace("_", "-"): text for name, text in typed.items()}
        if any(options[name] is not None for name in BAR):
            kept += _bar(file, options, no_log=no_log, csv=csv, as_json=as_json)
            return
        job, found, before = load_weighing(file, options, anew=new_pattern)
        findings = weigh_findings(job, found)
        name = None if no_log else LOG
        # All output is prepared before anything is logged, so a casting that cannot be shown leaves no trace.
        if as_json:
            text = json_text(weigh_object(job, found, findings, name))
        else:
            colour = sys.stdout.isatty() and "NO_COLOR" not in os.environ
            width = shutil.get_terminal_size((100, 24)).columns
            text = weigh_text(job, found, findings, logged=name, colour=colour, width=width)
        if not no_log:
            log_casting(file, log_object(job, found, kind_of(job.plan), again=again, before=before))
            kept.append(f"the casting in {LOG}")
        if csv is not None:
            export_csv(file, csv)
            kept.append(f"the table in {csv}")
        print_text(text, as_json=as_json)


def _bar(
    file: Path, options: dict[str, str | None], *, no_log: bool, csv: Path | None, as_json: bool
) -> list[str]:
    """Evaluate a test bar, and log it."""
    from bulbcast.confidence.bar_chapter import bar_log, bar_object, bar_text
    from bulbcast.files.casting_log import LOG, export_csv, kind_of, log_casting
    from bulbcast.files.weigh_typed import load_bar
    from bulbcast.report.values import json_text

    job, says = load_bar(file, options)
    name, kept = None if no_log else LOG, []
    if as_json:
        text = json_text(bar_object(job, says, name))
    else:
        colour = sys.stdout.isatty() and "NO_COLOR" not in os.environ
        width = shutil.get_terminal_size((100, 24)).columns
        text = bar_text(job, says, logged=name, colour=colour, width=width)
    if not no_log:
        log_casting(file, bar_log(job, says, kind_of(job.plan)))
        kept.append(f"the test bar in {LOG}")
    if csv is not None:
        export_csv(file, csv)
        kept.append(f"the table in {csv}")
    print_text(text, as_json=as_json)
    return kept
