"""A headless browser driven over its debugging pipe, without a server or libraries beyond Python's own."""

from __future__ import annotations

import base64
import json
import os
import select
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
"""Command that starts the browser; None if none is installed."""

PAPERS = {"A4": (8.27, 11.69), "Letter": (8.5, 11.0)}
"""Width and height of each paper size. [in]"""

_WAIT = 100.0


class Tab:
    """One page that can be opened at a given width, queried, captured and printed.

    Attributes:
        events: Events reported by the browser since the page was opened: requests, console, exceptions, issues.
    """

    def __init__(self, to: int, answers: int) -> None:
        self._to, self._from, self._left, self._number = to, answers, b"", 0
        self._session: str | None = None
        self.events: list[dict[str, Any]] = []
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log", "Audits"):
            self.call(f"{domain}.enable")

    def call(self, method: str, **params: Any) -> dict[str, Any]:
        """Send a command to the browser and wait for its answer; events reported in the meantime are kept."""
        self._number += 1
        words = {"id": self._number, "method": method, "params": params}
        if self._session:
            words["sessionId"] = self._session
        os.write(self._to, json.dumps(words).encode() + b"\0")
        while True:
            said = self._next(_WAIT)
            if said.get("id") == self._number:
                if "error" in said:
                    raise RuntimeError(f"{method}: {said['error']}")
                return said["result"]
            self.events.append(said)

    def _next(self, seconds: float) -> dict[str, Any]:
        end = time.monotonic() + seconds
        while b"\0" not in self._left:
            if not select.select([self._from], [], [], max(0.0, end - time.monotonic()))[0]:
                raise TimeoutError("the browser does not answer")
            more = os.read(self._from, 1 << 20)
            if not more:
                raise RuntimeError("the browser has ended")
            self._left += more
        said, _, self._left = self._left.partition(b"\0")
        return json.loads(said)

    def open(self, path: Path, *, width: int, height: int = 900, dark: bool = False, media: str = "") -> None:
        """Load a file and wait until it is displayed.

        Args:
            path: Path of an HTML file.
            width: Width of the window; below 500, the page is shown as on a phone. [px]
            height: Height of the window. [px]
            dark: Whether the reader prefers dark colours.
            media: "print" for the layout on paper; "" for a screen.
        """
        self.call(
            "Emulation.setDeviceMetricsOverride",
            width=width, height=height, deviceScaleFactor=1, mobile=width < 500,
        )  # fmt: skip
        scheme = "dark" if dark else "light"
        features = [{"name": "prefers-color-scheme", "value": scheme}]
        self.call("Emulation.setEmulatedMedia", media=media, features=features)
        self.events.clear()
        self.call("Page.navigate", url=path.as_uri())
        while not any(one.get("method") == "Page.loadEventFired" for one in self.events):
            self.events.append(self._next(_WAIT))

    def ask(self, expression: str) -> Any:
        """Value of a JavaScript expression on the page."""
        said = self.call("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in said:
            raise RuntimeError(str(said["exceptionDetails"]))
        return said["result"].get("value")

    def picture(self, path: Path, *, whole: bool = False) -> None:
        """Save a picture of the window, or of the whole page, as a PNG file."""
        more: dict[str, Any] = {}
        if whole:
            size = self.call("Page.getLayoutMetrics")["cssContentSize"]
            more = {"clip": {"x": 0, "y": 0, "width": size["width"], "height": size["height"], "scale": 1}}
        said = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole, **more)
        path.write_bytes(base64.b64decode(said["data"]))

    def printed(self, paper: str = "A4") -> bytes:
        """The page as a PDF on A4 or Letter."""
        width, height = PAPERS[paper]
        said = self.call("Page.printToPDF", paperWidth=width, paperHeight=height, printBackground=True)
        return base64.b64decode(said["data"])

    def happened(self, *methods: str) -> list[dict[str, Any]]:
        """Events that the browser reported under the given names."""
        return [one["params"] for one in self.events if one.get("method") in methods]


@contextmanager
def tab(profile: Path) -> Iterator[Tab]:
    """A running browser, closed at the end of the context.

    Args:
        profile: Directory for the browser's profile.
    """
    commands, to = os.pipe()
    answers, said = os.pipe()
    # The browser reads descriptor 3 and writes 4: the pipes are moved there on the way, out of each other's way first.
    start = (
        "import fcntl, os, sys; a, b = (fcntl.fcntl(int(one), fcntl.F_DUPFD, 10) for one in sys.argv[1:3]); "
        "os.dup2(a, 3); os.dup2(b, 4); os.execv(sys.argv[3], sys.argv[3:])"
    )
    words = [
        sys.executable, "-c", start, str(commands), str(said), str(BROWSER),
        "--headless", "--no-sandbox", "--disable-dev-shm-usage", "--use-angle=swiftshader", "--enable-unsafe-swiftshader",
        "--remote-debugging-pipe", "--hide-scrollbars", "--no-first-run", f"--user-data-dir={profile}",
    ]  # fmt: skip
    run = subprocess.Popen(
        words, pass_fds=(commands, said), stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )  # fmt: skip
    os.close(commands)
    os.close(said)
    try:
        yield Tab(to, answers)
    finally:
        run.terminate()
        with suppress(subprocess.TimeoutExpired):
            run.wait(10)
        os.close(to)
        os.close(answers)
