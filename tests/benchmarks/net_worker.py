"""One side of the net: run the commands of the cases named on standard input, with the package of one checkout.

    PYTHONPATH=CHECKOUT python net_worker.py CHECKOUT FOLDER

FOLDER contains a folder for each case, with the plan, its other files and `commands.json`. The results `n.out`, `n.err`
and `n.exit` of command n are written to `outcome/`; files are left where the command writes them. All modules are loaded
once, and each command runs in its own forked process, so nothing is carried over from another command.
"""

from __future__ import annotations

import contextlib
import importlib
import json
import os
import pkgutil
import runpy
import sys
import traceback
from pathlib import Path


def load(checkout: Path) -> None:
    """Load every module of the package and the libraries that it uses.

    Raises:
        SystemExit: The package found is not the one in the checkout.
    """
    import bulbcast

    found = Path(bulbcast.__file__).resolve()
    if checkout.resolve() not in found.parents:
        raise SystemExit(f"the package is that of {found}, not that of {checkout}")
    for module in pkgutil.walk_packages(bulbcast.__path__, "bulbcast."):
        if not module.name.endswith("__main__"):
            with contextlib.suppress(ImportError):  # of an extra that is not installed
                importlib.import_module(module.name)


def run(words: list[str], to: Path) -> None:
    """Run one command in a separate process; its exit status and output are written to files named after `to`."""
    child = os.fork()
    if child:
        status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        to.with_suffix(".exit").write_text(f"{status}\n", encoding="utf-8")
        return
    status = 70
    try:
        for descriptor, ending in ((1, ".out"), (2, ".err")):
            file = os.open(to.with_suffix(ending), os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
            os.dup2(file, descriptor)
        sys.argv = ["bulbcast", *words]
        try:
            runpy.run_module("bulbcast", run_name="__main__", alter_sys=False)
            status = 0
        except SystemExit as end:
            status = end.code if isinstance(end.code, int) else int(end.code is not None)
        except BaseException:
            traceback.print_exc()
        sys.stdout.flush()
        sys.stderr.flush()
    finally:
        os._exit(status)


def main() -> None:
    """Run the cases named on standard input, one per line, and print the name of each when it is done."""
    checkout, folder = Path(sys.argv[1]), Path(sys.argv[2]).resolve()
    load(checkout)
    print("ready", flush=True)
    for line in sys.stdin:
        case = folder / line.strip()
        os.chdir(case)
        outcome = case / "outcome"
        outcome.mkdir(exist_ok=True)
        for number, words in enumerate(json.loads((case / "commands.json").read_text(encoding="utf-8")), 1):
            run(words, outcome / f"{number}")
        print(line.strip(), flush=True)


if __name__ == "__main__":
    main()
