"""The `bulbcast` command: a group whose commands are imported only when they are called."""

from __future__ import annotations

import gc
import importlib
import sys

import click

from bulbcast import __version__

# Command, its module in this room, and what the list of commands says of it: kept here so that `--help`
# imports none of them.
COMMANDS = {
    "new": ("new", "Write a commented starter plan."),
    "plan": ("plan", "The whole job: size, checks, pattern, melt, and the bundle of files."),
    "ballast": ("ballast", "The weight list: what the bulb must weigh and where it must hang."),
    "dry": ("dry", "The mould's drying log: weigh, see the trend, and whether the pour is on hold."),
    "pour": ("pour", "The pour card, judged at that moment; none while anything withholds it."),
    "weigh": ("weigh", "A real casting against its plan: density, contraction, drilling, and its log."),
    "float": ("float", "A float test against the plan: what puts her on her line."),
    "keys": ("keys", "Every key of a plan: dimension, range, default, source, meaning."),
    "explain": ("explain", "What a key means and how to measure it; what a finding means and why."),
    "compare": ("compare", "The same plan over a range of one or two inputs."),
}


class LazyGroup(click.Group):
    """A group that knows its commands by name and loads one when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"bulbcast.cli.{COMMANDS[cmd_name][0]}")
        command: click.Command = module.command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, about) for name, (_, about) in COMMANDS.items()])


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="bulbcast", message="%(prog)s %(version)s")
def group() -> None:
    """Plan a cast-lead ballast bulb: size, place, pattern, melt.

    Exit status: 0 done; 1 something outside the input failed; 2 the input is wrong or has no
    solution; 3 done, and at least one finding is a stop, or the pour card is withheld.
    """


def main() -> None:
    """Entry point of the installed command."""
    # Loading makes many objects and drops few: looking for circles among them takes a twentieth of a plan's time.
    gc.set_threshold(100_000)
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show a degree sign gets a question mark, not a traceback.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    group()


if __name__ == "__main__":
    main()
