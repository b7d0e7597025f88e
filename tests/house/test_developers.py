"""DEVELOPERS.md is correct: every path in it exists, and every name is defined in the file given for it."""

from __future__ import annotations

import ast
import re
from pathlib import Path

PROJECT = Path(__file__).parents[2]
PACKAGE = PROJECT / "bulbcast"
TEXT = (PROJECT / "DEVELOPERS.md").read_text(encoding="utf-8")
QUOTED = re.findall(r"`([^`\n]+)`", TEXT)
PATH = re.compile(r"[\w./*-]+(?:/|\.(?:py|md|toml|txt))|\.ci/run")


def exists(path: str) -> bool:
    path = path.rstrip("/")
    return bool(list(PROJECT.glob(path))) or any(PACKAGE.rglob(path))


def names_in(path: Path) -> set[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    named = {node.name for node in tree.body if isinstance(node, (ast.FunctionDef, ast.ClassDef))}
    assigned = [node for node in tree.body if isinstance(node, (ast.Assign, ast.AnnAssign))]
    return named | {name.id for node in assigned for name in ast.walk(node) if isinstance(name, ast.Name)}


def test_every_path_exists() -> None:
    paths = [one for one in QUOTED if PATH.fullmatch(one)]
    paths += re.findall(r"tests/benchmarks/\w+\.py", TEXT)
    assert len(paths) > 80
    assert [path for path in paths if not exists(path)] == []


def test_every_room_has_its_line_and_every_line_its_room() -> None:
    rooms = {path.name for path in PACKAGE.iterdir() if (path / "__init__.py").exists()}
    table = TEXT.partition("## The rooms")[2].partition("## Where")[0]
    lines = {
        name
        for row in re.findall(r"^\| (`.*?) \|", table, re.MULTILINE)
        for name in re.findall(r"`(\w+)/`", row)
    }
    assert lines == rooms


def test_every_formula_stands_where_it_is_said_to_stand() -> None:
    table = TEXT.partition("## Where each formula is")[2].partition("Three ideas")[0]
    said = re.findall(r"`([\w/]+\.py)`: ((?:`\w+`(?:, )?)+)", table)
    assert len(said) > 60
    missing = [
        f"{path}: {name}"
        for path, names in said
        for name in re.findall(r"`(\w+)`", names)
        if name not in names_in(PACKAGE / path)
    ]
    assert missing == []


NO_FORMULA = re.compile(
    r"chapter|view|rules|section|text|work|results"
    r"|^(cli|bundle|files|compare|job|report|plan|drawing|disk|quantities|safety)/"
)


def test_every_file_with_a_formula_is_named() -> None:
    """A formula is a public function whose docstring gives units, such as [m]."""
    with_formulas = {
        path.relative_to(PACKAGE).as_posix()
        for path in PACKAGE.glob("*/**/*.py")
        if not NO_FORMULA.search(path.relative_to(PACKAGE).as_posix())
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef)
        and node.name[0] != "_"
        and "[" in (ast.get_docstring(node) or "")
    }
    assert len(with_formulas) > 100
    assert sorted(path for path in with_formulas if f"`{path}`" not in TEXT) == []


def test_every_other_name_stands_in_the_package() -> None:
    source = "\n".join(path.read_text(encoding="utf-8") for path in PACKAGE.rglob("*.py"))
    words = set(re.findall(r"\w+", source))
    names = [
        one for one in QUOTED if re.fullmatch(r"[A-Za-z]\w+", one) and one not in ("test", "bench", "mypy")
    ]
    assert [name for name in names if name not in words] == []


def test_it_is_short() -> None:
    assert len(TEXT.splitlines()) <= 250
