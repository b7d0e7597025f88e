"""The viewer for solids, in a headless browser; skipped if no browser is installed."""

from __future__ import annotations

import json
import re
import shutil
import subprocess

import pytest

from bulbcast.job.solid import viewer_script

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)

PAGE = """\
<!DOCTYPE html><html><body>
<style>canvas{width:300px;height:200px}</style>
<div id="one"><canvas></canvas><button data-view="top" hidden></button></div>
<div id="two"><canvas></canvas></div>
<pre id="found"></pre>
<script>VIEWER</script>
<script>
var found = {};
try {
  var box = [[0,0,0],[4,0,0],[4,1,0],[0,1,0],[0,0,1],[4,0,1],[4,1,1],[0,1,1]];
  var sides = [[0,2,1],[0,3,2],[4,5,6],[4,6,7],[0,1,5],[0,5,4],[1,2,6],[1,6,5],[2,3,7],[2,7,6],[3,0,4],[3,4,7]];
  var brick = [new Float32Array(box.flat()), new Uint32Array(sides.flat())];
  var spike = [new Float32Array([0,0,0, 9,0,0, 0,3,0, 0,0,3]), new Uint32Array([0,2,1, 0,1,3, 1,2,3, 2,0,3])];
  var place = document.getElementById("one"), viewer = new SolidViewer(place), other = new SolidViewer(two);
  function picture(of) {
    var gl = of.gl, data = new Uint8Array(4 * of.canvas.width * of.canvas.height);
    gl.readPixels(0, 0, of.canvas.width, of.canvas.height, gl.RGBA, gl.UNSIGNED_BYTE, data);
    return Array.from(data).join();
  }
  found.shows_webgl = !!viewer.gl;
  found.runs_before = place.classList.contains("running");
  viewer.load(...brick);
  found.runs = place.classList.contains("running");
  found.buttons_shown = !place.querySelector("button").hidden;
  var first = picture(viewer);
  found.painted = new Set(first.split(",")).size;
  viewer.load(...spike);
  var second = picture(viewer);
  other.load(...spike);
  found.changed = first !== second;
  found.as_if_alone = second === picture(other);
  place.querySelector("button").click();
  var above = picture(viewer);
  found.turned = above !== second;
  viewer.load(...brick);
  viewer.load(...spike);
  found.stays_turned = picture(viewer) === above;
  viewer.load(...brick);
  viewer.reset("quarter");
  found.back_again = picture(viewer) === first;
  found.errors = [viewer.gl.getError(), other.gl.getError()];
} catch (error) { found.error = String(error); }
document.getElementById("found").textContent = JSON.stringify(found);
</script></body></html>
"""


@pytest.mark.skipif(BROWSER is None, reason="no browser to run the viewer in")
def test_a_second_solid_takes_the_place_of_the_first(tmp_path):
    """The picture matches, pixel by pixel, the picture of the solid loaded alone, and the rotation is kept."""
    page = tmp_path / "page.html"
    page.write_text(PAGE.replace("VIEWER", viewer_script()), encoding="utf-8")
    words = [
        str(BROWSER), "--headless", "--no-sandbox", "--disable-dev-shm-usage", "--use-angle=swiftshader",
        "--enable-unsafe-swiftshader", f"--user-data-dir={tmp_path / 'profile'}", "--dump-dom", page.as_uri(),
    ]  # fmt: skip
    done = subprocess.run(words, capture_output=True, text=True, timeout=100)
    found = json.loads(re.search(r'<pre id="found">(.*?)</pre>', done.stdout)[1])
    if not found.get("shows_webgl"):
        pytest.skip("the browser has no WebGL here")
    assert found.pop("painted") > 20, "a shaded solid, not an empty canvas"
    assert (found.pop("runs_before"), found.pop("errors")) == (False, [0, 0])
    assert found == dict.fromkeys(
        (
            "shows_webgl",
            "runs",
            "buttons_shown",
            "changed",
            "as_if_alone",
            "turned",
            "stays_turned",
            "back_again",
        ),
        True,
    )
