"""Make the pictures for README.md in examples/pictures: the head of a report, a study, a sheet of templates.

    python examples/make_pictures.py

Needs Chromium for the report and pypdfium2 (of the test extra) for the sheet. `made_of.json` in the same folder holds a
fingerprint of what each picture shows, and a test compares it with the program's present output.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from click.testing import CliRunner

from bulbcast.cli.main import group

EXAMPLES = Path(__file__).resolve().parent
PICTURES = EXAMPLES / "pictures"
STUDY = ("--vary", "bulb.fineness=5.5:8:6", "--speed", "1.2 m/s")
SHEET = 2
"""Zero-based index of the template page that is shown."""


def _run(*words: str) -> None:
    """Run one command, which must succeed."""
    done = CliRunner().invoke(group, words)
    if done.exit_code:
        raise SystemExit(f"bulbcast {' '.join(words)}: {done.output}")


def _fingerprint(text: str) -> str:
    """Fingerprint of words and coordinates; numbers are rounded to three decimals to ignore their last digits."""
    rounded = re.sub(r"-?\d+\.\d+", lambda number: f"{float(number[0]):.3f}", text)
    return hashlib.sha256(rounded.encode()).hexdigest()[:16]


def _first_screen(report: str) -> str:
    """Head and first drawings of a report, without the version and the file name."""
    body = report.partition("<body")[2]
    return body[: body.index("</svg>")]


def made_of(scratch: Path) -> dict[str, str]:
    """Fingerprints of the pictures' contents.

    Args:
        scratch: Directory in which `bundle` and `study` are written.

    Returns:
        Fingerprint of each picture by its name.
    """
    plan = str(EXAMPLES / "fenwisp.toml")
    _run("plan", plan, "--out", str(scratch / "bundle"))
    _run("compare", plan, *STUDY, "--out", str(scratch / "study"))
    report = (scratch / "bundle" / "report.html").read_text(encoding="utf-8")
    sheets = "".join(
        path.read_text(encoding="utf-8") for path in sorted((scratch / "bundle").glob("template-*.svg"))
    )
    return {
        "report.png": _fingerprint(_first_screen(report)),
        "compare.svg": _fingerprint((scratch / "study" / "compare.svg").read_text(encoding="utf-8")),
        "templates.png": _fingerprint(sheets),
    }


def make() -> None:
    """Make all pictures and their fingerprints."""
    import pypdfium2

    browser = next(
        (path for name in ("chromium", "google-chrome", "chrome") if (path := shutil.which(name))), None
    )
    if browser is None:
        raise SystemExit("Chromium is needed for the picture of the report, and is not installed.")
    with tempfile.TemporaryDirectory() as place:
        scratch = Path(place)
        found = made_of(scratch)
        shot = ("--headless", "--no-sandbox", "--hide-scrollbars", "--force-device-scale-factor=1.5")
        size, into = "--window-size=1100,900", f"--screenshot={PICTURES / 'report.png'}"
        subprocess.run(
            [browser, *shot, size, into, (scratch / "bundle" / "report.html").as_uri()], check=True
        )
        shutil.copy(scratch / "study" / "compare.svg", PICTURES / "compare.svg")
        sheets = pypdfium2.PdfDocument(scratch / "bundle" / "templates.pdf")
        sheets[SHEET].render(scale=1.2).to_pil().save(PICTURES / "templates.png", optimize=True)
    text = json.dumps(found, indent=2, sort_keys=True) + "\n"
    (PICTURES / "made_of.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    sys.exit(make())
