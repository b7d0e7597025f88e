"""`bulbcast weigh FILE`: a real casting against its plan."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import click

from bulbcast.cli.outcome import print_text, reporting

_MASS = "Such as '2.61 kg' or '2.61 kg +- 1 g'."


@click.command(name="weigh")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--as-cast", metavar="MASS", help=f"Out of the mould, not filed, nothing cut. {_MASS}")
@click.option("--sprue", metavar="off|on|MASS", help="Whether the sprue is on it; left out: off.")
@click.option("--filed", metavar="MASS", help="Filed to its shape, nothing cut or drilled yet.")
@click.option("--cut", metavar="MASS", help="Pocket, holes and recesses cut, nothing filled.")
@click.option("--in-water", metavar="MASS", help="Hung under fresh water, not filed.")
@click.option("--water-temperature", metavar="TEMPERATURE", help="Of that water; left out: 20 C.")
@click.option("--length", metavar="LENGTH", help="From end to end, not filed.")
@click.option("--diameter", metavar="LENGTH", help="At the largest section, not filed.")
@click.option("--balance", metavar="LENGTH", help="From its nose to where it balances on an edge, not filed.")
@click.option(
    "--bar", metavar="LENGTH", help="Of a test bar in place of a casting: its smaller face, as cast."
)
@click.option("--bar-pattern", metavar="LENGTH", help="The same of its pattern; left out: as drawn.")
@click.option("--bar-mass", metavar="MASS", help="Of the test bar.")
@click.option("--bar-in-water", metavar="MASS", help="Of the test bar hung under fresh water.")
@click.option("--when", metavar="TIME", help="Such as 2026-05-03; left out: now.")
@click.option(
    "--again", is_flag=True, help="The last casting of this plan, measured again: both count as one."
)
@click.option(
    "--new-pattern",
    is_flag=True,
    help="From a pattern made anew since the last casting; left out: from the one before.",
)
@click.option("--no-log", is_flag=True, help="Do not log it beside the plan.")
@click.option("--csv", type=click.Path(path_type=Path), help="Write the whole log as a table too.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object on stdout and nothing else.")
def command(
    file: Path,
    again: bool,
    new_pattern: bool,
    no_log: bool,
    csv: Path | None,
    as_json: bool,
    **typed: str | None,
) -> None:
    """A real casting against its plan: what it says of density and contraction, and the drilling to target.

    Each reading may bear its standard deviation, as in "2.61 kg +- 1 g". Every casting is logged in
    castings.toml beside the plan, and sharpens the next plan with the same alloy, pattern and mould.
    """
    if again and new_pattern:
        raise click.UsageError("give --again for the same casting, or --new-pattern for another: not both")
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
        # All that is to be said is worked out before anything is logged: a casting that cannot be shown leaves no mark.
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
    """A test bar; what was written."""
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
