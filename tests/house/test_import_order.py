"""Order of the packages: imports run one way, and heavy libraries are loaded only where they are used."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "bulbcast"

# From the outermost room to the leaves. A room may import any that stands below it, and itself. These are the rooms that
# exist, and no others.
ORDER = (
    "__main__",
    "cli",
    "bundle",
    "files",
    "compare",
    "job",
    # The subjects, the last of the work first.
    "afloat",
    "pattern_shop",
    "foundry",
    "confidence",
    "pattern",
    "sailing",
    "joint",
    "ballast",
    "bulb",
    "hull",
    "fin",
    # Tools that know no subject.
    "report",
    "findings",
    "plan",
    "drawing",
    "solids",
    "disk",
    "materials",
    "safety",
    "quantities",
)
LEVEL = {room: level for level, room in enumerate(ORDER)}


def room_of(path: Path) -> str:
    """Package of a file: its folder, or its own name at the top level."""
    inside = path.relative_to(PACKAGE)
    return inside.parts[0] if len(inside.parts) > 1 else inside.stem


def imports_of(path: Path) -> list[str]:
    """All modules of this project that a file imports, at the top or inside a function."""
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.split(".")[0] == "bulbcast":
            found.append(node.module)
        elif isinstance(node, ast.Import):
            found += [alias.name for alias in node.names if alias.name.split(".")[0] == "bulbcast"]
    return found


FILES = sorted(PACKAGE.rglob("*.py"))


def test_the_rooms_are_those_that_exist() -> None:
    assert {room_of(path) for path in FILES} - {"__init__"} == set(ORDER)


def test_a_file_imports_only_rooms_below_its_own() -> None:
    wrong = [
        f"{path.relative_to(PACKAGE)} imports {module}"
        for path in FILES
        for module in imports_of(path)
        if "." in module  # else the package's own version
        and (above := LEVEL.get(room_of(path), len(ORDER))) >= (below := LEVEL[module.split(".")[1]])
        and above != below
    ]
    assert wrong == []


def test_every_file_says_what_it_holds_and_stays_short() -> None:
    texts = {path.relative_to(PACKAGE): path.read_text(encoding="utf-8") for path in FILES}
    assert [path for path, text in texts.items() if not ast.get_docstring(ast.parse(text))] == []
    assert [path for path, text in texts.items() if len(text.splitlines()) > 500] == []


def test_only_one_file_uses_the_mesh_kernel() -> None:
    users = [path.name for path in FILES if "import manifold3d" in path.read_text(encoding="utf-8")]
    assert users == ["kernel.py"]


def test_only_the_outermost_rooms_print_or_open_files() -> None:
    inner = [
        path for path in FILES if LEVEL.get(room_of(path), 0) > LEVEL["files"] and room_of(path) != "disk"
    ]
    for path in inner:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                assert node.func.id not in ("print", "open", "input"), f"{path} calls {node.func.id}"


def loaded_after(code: str, folder: Path) -> set[str]:
    """Modules loaded in a fresh interpreter after running some code."""
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys\nprint('\\n'.join(sys.modules))"],
        capture_output=True,
        text=True,
        cwd=folder,
        check=True,
    )
    return set(done.stdout.split())


def test_help_loads_no_numpy_and_no_room_but_the_command_line(tmp_path: Path) -> None:
    code = (
        "import sys\nsys.argv = ['bulbcast', '--help']\nfrom bulbcast.cli.main import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass"
    )
    loaded = loaded_after(code, tmp_path)
    assert "numpy" not in loaded
    ours = {name for name in loaded if name.startswith("bulbcast")}
    assert ours == {"bulbcast", "bulbcast.cli", "bulbcast.cli.main"}


def test_a_sized_bulb_needs_no_scipy_no_mesh_library_and_no_shapely(tmp_path: Path) -> None:
    plan = Path(__file__).parents[2] / "examples" / "puddlejack.toml"
    code = (
        "from pathlib import Path\nfrom bulbcast.files.plan_file import load_plan\nfrom bulbcast.job import run\n"
        f"run(*load_plan(Path({str(plan)!r})))"
    )
    loaded = loaded_after(code, tmp_path)
    for heavy in (
        "scipy",
        "trimesh",
        "shapely",
        "manifold3d",
        "stl",
        "networkx",
        "reportlab",
        "ezdxf",
        "HersheyFonts",
    ):
        assert heavy not in loaded
    # Nor the boat's rooms, where the plan gives no boat.
    assert "bulbcast.ballast.work" not in loaded
    assert "bulbcast.ballast.reach" not in loaded
    # Nor the drying's and the resin's, where it gives neither; a usual mould tells what is poured.
    for room in (
        "foundry.mould.work",
        "foundry.drying.log",
        "foundry.resin.work",
    ):
        assert f"bulbcast.{room}" not in loaded


def test_a_whole_bundle_needs_no_scipy_and_not_the_heavy_parts_of_trimesh(tmp_path: Path) -> None:
    plan = Path(__file__).parents[2] / "examples" / "fenwisp.toml"
    code = (
        f"import sys\nsys.argv = ['bulbcast', 'plan', {str(plan)!r}, '--out', {str(tmp_path / 'out')!r}, '--json']\n"
        "import io, contextlib\nfrom bulbcast.cli.main import main\nwith contextlib.redirect_stdout(io.StringIO()):\n"
        "    try:\n        main()\n    except SystemExit as done:\n        assert not done.code, done.code"
    )
    loaded = loaded_after(code, tmp_path)
    for heavy in ("scipy", "networkx", "trimesh.base", "trimesh.scene", "trimesh", "OCP"):
        assert heavy not in loaded
    assert (tmp_path / "out" / "bulb.stl").exists()


def test_no_two_files_lean_on_each_other() -> None:
    """No circular imports between files. Imports inside functions are not counted, since they run only when needed."""
    names = {
        ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__"): path
        for path in FILES
    }
    leans = {
        name: {
            full if (full := f"{node.module}.{alias.name}") in names else node.module
            for node in ast.parse(path.read_text(encoding="utf-8")).body
            if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("bulbcast")
            for alias in node.names
        }
        - {name}
        for name, path in names.items()
    }
    while free := {name for name, others in leans.items() if not others & leans.keys()}:
        leans = {name: others for name, others in leans.items() if name not in free}
    assert sorted(leans) == []
