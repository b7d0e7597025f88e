"""The `bulbcast` command, a group whose commands are imported only when called."""

from __future__ import annotations

import gc
import importlib
import sys

import click

from bulbcast import __version__

# Each command with its module in this package and its line in the list of commands. They are listed here so that `--help`
# does not need all the imports.
COMMANDS = {
    "new": ("new", "Write a commented starter plan."),
    "plan": ("plan", "Plan the whole job: size, checks, pattern, melt, and the bundle of files."),
    "ballast": ("ballast", "Show the weight list, and the mass and position that the bulb needs."),
    "dry": ("dry", "Keep the mould's drying log: weighings, trend, and whether the pour is on hold."),
    "pour": ("pour", "Print the pour card for the current time, unless the pour is withheld."),
    "weigh": ("weigh", "Compare a real casting with its plan (density, contraction, drilling), and log it."),
    "float": ("float", "Evaluate a float test, and show how to bring the boat to her line."),
    "keys": ("keys", "List every key of a plan, with its dimension, range, default, source and meaning."),
    "explain": ("explain", "Explain a key and how to measure it, or a finding and its reason."),
    "compare": ("compare", "Calculate the plan for a range of values of one or two inputs."),
}


class LazyGroup(click.Group):
    """Group of commands, each of which is loaded only when it is called."""

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
    """Plan a cast-lead ballast bulb: its size, its position, the pattern and the melt.

    Exit status: 0 done; 1 something other than the input failed; 2 the input is wrong or has no solution; 3 done, but
    at least one finding is a stop, or the pour card is withheld.
    """


def main() -> None:
    """Entry point of the installed command."""
    # Loading makes many objects and frees few, and garbage collection would take a twentieth of a plan's time.
    gc.set_threshold(100_000)
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show a degree sign shows a question mark instead of a traceback.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    group()


if __name__ == "__main__":
    main()
