"""README.md is correct: its plan gives the answer shown, its commands and files exist, and its pictures are current."""

from __future__ import annotations

import json
import re
import runpy
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from bulbcast.cli.main import group

PROJECT = Path(__file__).parents[2]
TEXT = (PROJECT / "README.md").read_text(encoding="utf-8")


def block(mark: str) -> str:
    """Content of the fenced block after a marker."""
    found = re.search(rf"<!-- {re.escape(mark)} -->\n```\w*\n(.*?)\n```", TEXT, re.DOTALL)
    assert found, mark
    return found[1]


def test_the_plan_shown_gives_the_answer_shown(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("sedgewren.toml").write_text(block("plan: sedgewren.toml"), encoding="utf-8")
    typed, _, shown = block("answer").partition("\n")
    words = typed.removeprefix("$ bulbcast ").split()
    assert words == ["plan", "sedgewren.toml"]
    done = CliRunner(env={"COLUMNS": "100"}).invoke(group, words)
    assert done.exit_code == 0, done.output
    assert [line.rstrip() for line in shown.splitlines()] == [
        line.rstrip() for line in done.stdout.rstrip().splitlines()
    ]


def test_the_float_test_shown_next_works_with_that_plan(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("sedgewren.toml").write_text(block("plan: sedgewren.toml"), encoding="utf-8")
    marks = ("--bow", "3 mm above", "--stern", "1 mm below")
    done = CliRunner().invoke(group, ["float", "sedgewren.toml", *marks, "--no-record"])
    assert done.exit_code == 0, done.output
    assert "float sedgewren.toml --bow" in TEXT


def test_every_command_and_option_shown_exists() -> None:
    shown = re.findall(r"bulbcast (\w+)([^`\n]*)", TEXT)
    commands = {name: rest for name, rest in shown if name in group.list_commands(click.Context(group))}
    assert {"new", "ballast", "plan", "compare", "dry", "pour", "weigh", "float", "keys", "explain"} <= set(
        commands
    )
    for name, rest in shown:
        command = group.get_command(click.Context(group), name)
        if command is None:
            continue
        options = {option for one in command.params for option in one.opts}
        assert set(re.findall(r"--[a-z-]+", rest)) <= options, (name, rest)


def test_every_file_and_picture_exists_and_every_picture_is_shown() -> None:
    linked = [one for one in re.findall(r"\]\(([^)]+)\)", TEXT) if not one.startswith("http")]
    assert len(linked) > 5
    assert [one for one in linked if not (PROJECT / one).exists()] == []
    pictures = {f"examples/pictures/{one.name}" for one in (PROJECT / "examples" / "pictures").iterdir()}
    assert pictures - {"examples/pictures/made_of.json"} <= set(linked)


def test_the_pictures_show_what_the_program_makes_today(tmp_path: Path) -> None:
    made = runpy.run_path(str(PROJECT / "examples" / "make_pictures.py"))["made_of"](tmp_path)
    kept = json.loads((PROJECT / "examples" / "pictures" / "made_of.json").read_text(encoding="utf-8"))
    assert made == kept, "run examples/make_pictures.py and look at the pictures"


def test_the_first_screen_comes_before_everything_else_and_there_are_no_tables_of_keys() -> None:
    assert len(TEXT.splitlines()) < 180
    rows = re.findall(r"^\| (.*?) \|", TEXT, re.MULTILINE)
    assert [row for row in rows if re.fullmatch(r"`[a-z_]+`(?:, `[a-z_]+`)*", row)] == []
    assert (
        TEXT.index("<!-- run -->")
        < TEXT.index("<!-- plan")
        < TEXT.index("<!-- answer")
        < TEXT.index("What else it does")
    )
