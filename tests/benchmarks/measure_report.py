"""Length of the output that a builder reads: in the terminal, on a desktop, on a phone and on paper.

    python tests/benchmarks/measure_report.py [PLAN ...]     # without a plan: the examples

Needs Chromium. It prints a row for each plan: lines and words in the terminal (by default and with --full), words in
the report (all, and those outside folded sections), its height at widths of 1200 and 390 px, and pages on A4.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(HERE / "shared"))

from browser import Tab, tab  # noqa: E402

EXAMPLES = HERE.parent / "examples"
WORDS = """(all) => {
  const words = (text) => (text.match(/\\S+/g) || []).length;
  let count = 0;
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const place = walk.currentNode.parentElement;
    if (place.closest('script,style')) continue;
    if (all || !place.closest('details:not([open]) > :not(summary)')) count += words(walk.currentNode.data);
  }
  return count;
}"""
HEADS = "plan              lines  words   --full: lines  words   report: words  unfolded   1200 px   390 px   pages"


def terminal(plan: Path, *more: str) -> tuple[int, int]:
    """Numbers of lines and words that the command prints."""
    words = [sys.executable, "-m", "bulbcast", "plan", str(plan), *more]
    text = subprocess.run(words, capture_output=True, text=True, check=False).stdout
    return len(text.splitlines()), len(text.split())


def row(plan: Path, page: Tab, scratch: Path) -> str:
    """Row of figures for one plan."""
    import pypdfium2

    out = scratch / plan.stem
    lines, words = terminal(plan, "--out", str(out))
    full = terminal(plan, "--out", str(scratch / f"{plan.stem}-full"), "--full")
    report = out / "report.html"
    heights = []
    for width in (1200, 390):
        page.open(report, width=width)
        heights.append(page.ask("document.documentElement.scrollHeight"))
    said, unfolded = page.ask(f"({WORDS})(true)"), page.ask(f"({WORDS})(false)")
    pages = len(pypdfium2.PdfDocument(page.printed()))
    return (
        f"{plan.stem:16} {lines:6} {words:6} {full[0]:15} {full[1]:6} {said:15} {unfolded:9} {heights[0]:9} {heights[1]:8} "
        f"{pages:7}"
    )


def main() -> None:
    """Print the table."""
    plans = [Path(one) for one in sys.argv[1:]] or sorted(EXAMPLES.glob("*.toml"))
    print(HEADS)
    with tempfile.TemporaryDirectory() as name, tab(Path(name) / "profile") as page:
        for plan in plans:
            print(row(plan, page, Path(name)), flush=True)


if __name__ == "__main__":
    main()
