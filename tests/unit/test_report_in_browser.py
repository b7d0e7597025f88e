"""The report shown and printed by a browser: desktop, phone, dark mode and paper; skipped if no browser is installed."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path

import pypdfium2
import pytest
from browser import BROWSER, Tab, tab
from plans import EXAMPLES, LEAST, SCREW, command

from bulbcast.report.steps import STEP_NAMES

pytestmark = pytest.mark.skipif(BROWSER is None, reason="no browser to show the report in")

STOPPED = LEAST + 'pocket_depth = "6 mm"\n' + SCREW.replace('recess = "8 mm"', 'recess = "60 mm"')
NAMES = ("fenwisp", "larkmoss", "puddlejack", "stopped")
SMALL = """\
name = "Wee Tansy"
display_units = "imperial"
[bulb]
target_mass = "2.1 oz"
fineness = 7
[alloy]
grade = "linotype"
[fin]
tip_chord = "1 1/4 in"
tip_thickness = "1/8 in"
pocket_depth = "1/8 in"
material = "wood"
[mould]
material = "plaster"
drying = "baked"
"""
LARGE = """\
name = "A yacht with a rather long name: Grand Duchess of the Upper Saltmarshes"
[bulb]
target_mass = "1450 kg"
width_to_height = 1.3
[alloy]
grade = "antimonial-4"
[fin]
material = "metal"
tip_chord = "900 mm"
tip_thickness = "90 mm"
pocket_depth = "80 mm"
[[screws]]
at = "420 mm"
diameter = "30 mm"
hole_diameter = "32 mm"
head_diameter = "50 mm"
head_height = "24 mm"
recess = "60 mm"
length = "420 mm"
[mould]
material = "sand"
sand_kind = "oil-bonded"
"""
FULL = """\
name = "Tidewater Tern"
display_units = "imperial"
[water]
kind = "salt"
[boat]
hull_displacement = "5 lb 12 oz"
waterline_length = "36 in"
waterline_beam = "8 in"
buoyancy_x = "19 in"
buoyancy_z = "-1 in"
waterplane_area = "190 sq in"
flotation_x = "19 1/2 in"
metacentric_radius = "2 1/2 in"
metacentric_radius_along = "40 in"
freeboard = "3 in"
hull_draught = "2 1/4 in"
kind = "model"
[rig]
sail_area = "5 sq ft"
effort_z = "20 in"
wind = "8 kn"
[bulb]
target_mass = "3 lb 4 oz"
fineness = 6
tail_diameter = "1/4 in"
[alloy]
grade = "antimonial-4"
[fin]
material = "wood"
tip_chord = "2 3/4 in"
tip_thickness = "3/8 in"
tip_leading_edge_x = "17 in"
tip_z = "-11 in"
root_chord = "3 1/2 in"
root_thickness = "7/16 in"
root_leading_edge_x = "16 3/4 in"
root_z = "-2 in"
pocket_depth = "3/8 in"
[[screws]]
at = "3/4 in"
diameter = "5/32 in"
hole_diameter = "11/64 in"
head_diameter = "5/16 in"
head_height = "1/8 in"
recess = "1/4 in"
length = "2 in"
[[screws]]
at = "1 3/4 in"
diameter = "5/32 in"
hole_diameter = "11/64 in"
head_diameter = "5/16 in"
head_height = "1/8 in"
recess = "1/4 in"
length = "2 in"
[[weights]]
name = "hull and deck"
mass = "1 lb 4 oz"
x = "18 in"
z = "1 in"
[[weights]]
name = "rig and sails"
mass = "9 oz"
x = "16 in"
z = "18 in"
[[weights]]
name = "radio and winch"
mass = "11 oz"
x = "20 in"
z = "1/2 in"
[mould]
material = "plaster"
drying = "baked"
[[scrap]]
name = "old wheel weights, sorted"
kind = "wheel-weights"
gross = "6 lb"
condition = "dry"
[[scrap]]
name = "pipe"
kind = "pipe"
gross = "3 lb"
yield = "90 %"
condition = "dry"
[pot]
capacity = "58 in3"
material = "cast-iron"
mass = "6 lb"
[burner]
power = "10000 BTU/h"
fuel = "propane"
"""
"""Plan of a model, in inches, with everything in it: boat, rig, mould, two lots of scrap, pot and burner."""
PHONE, DESK, PAPER = 390, 1200, 680
"""Widths of the page; paper is A4 less its margins, 180 mm. [px]"""
JOB_SHEET = (
    "Hung mass", "Before any lead is melted", "To buy, rounded up", "The work, step by step", "Next:",
)  # fmt: skip
SMALLEST_ON_PHONE, SMALLEST_ON_PAPER = 9.0, 7.0 / 0.75
"""Smallest text sizes: 9 px on a phone, and 7 pt on paper at 0.75 pt per px. [px]"""
LETTERING = """[...document.querySelectorAll('svg text')].filter(one => one.getClientRects().length).map(one => {
  const drawing = one.ownerSVGElement, scale = drawing.getBoundingClientRect().width / drawing.viewBox.baseVal.width;
  return [parseFloat(getComputedStyle(one).fontSize) * scale, one.textContent];
})"""
WORDS = """[...document.querySelectorAll('main *')].filter(one => one.getClientRects().length && !one.closest('svg')
  && [...one.childNodes].some(each => each.nodeType === 3 && each.data.trim()))
  .map(one => [parseFloat(getComputedStyle(one).fontSize), one.textContent.slice(0, 40)])"""
# A cell that runs over more lines than it has words is broken inside words; a checksum, of one word, may be.
BROKEN = """[...document.querySelectorAll('table:not(.meta) :is(td,th)')].filter(one => {
  const range = document.createRange();
  range.selectNodeContents(one);
  const lines = new Set([...range.getClientRects()].map(box => Math.round(box.top))).size;
  return lines > one.textContent.trim().split(/[\\s.\\-_,/]+/).length;
}).map(one => one.textContent)"""


@pytest.fixture(scope="module")
def reports(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    home = tmp_path_factory.mktemp("reports")
    (home / "stopped.toml").write_text(STOPPED, encoding="utf-8")
    found = {}
    for name in NAMES:
        plan = home / "stopped.toml" if name == "stopped" else EXAMPLES / f"{name}.toml"
        assert command("plan", plan, "--out", home / name).exit_code in (0, 3)
        found[name] = home / name / "report.html"
    return found


@pytest.fixture(scope="module")
def ends(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Paths of the reports on the smallest typical bulb, a yacht with a long name, and a full plan."""
    home = tmp_path_factory.mktemp("ends")
    found = {}
    for name, text in (("small", SMALL), ("large", LARGE), ("full", FULL)):
        (home / f"{name}.toml").write_text(text, encoding="utf-8")
        assert command("plan", home / f"{name}.toml", "--out", home / name).exit_code == 0
        found[name] = home / name / "report.html"
    return found


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Tab]:
    with tab(tmp_path_factory.mktemp("profile")) as found:
        yield found


def opened(page: Tab, path: Path, **how: object) -> Tab:
    """The page with all folded sections opened."""
    page.open(path, **how)
    page.ask("document.getElementById('open-all').click()")
    return page


@pytest.mark.parametrize("name", NAMES)
def test_no_error_is_logged_nothing_is_requested_and_the_policy_is_kept(page, reports, name) -> None:
    opened(page, reports[name], width=DESK)
    page.ask("new Promise(done => setTimeout(done, 200))")
    asked = [one["request"]["url"] for one in page.happened("Network.requestWillBeSent")]
    assert asked == [reports[name].as_uri()]
    assert page.happened("Runtime.exceptionThrown") == []
    assert page.happened("Log.entryAdded", "Runtime.consoleAPICalled") == []
    issues = [one["issue"]["code"] for one in page.happened("Audits.issueAdded")]
    assert "ContentSecurityPolicyIssue" not in issues


def test_what_is_not_of_the_report_neither_runs_nor_loads(page, reports, tmp_path) -> None:
    """The Content-Security-Policy blocks a foreign script, style and picture inserted into the page."""
    strange = (
        "<script>document.title = 'strange'</script><style>h1{color:rgb(1,2,3)}</style>"
        '<img src="offsets.csv"><p id="inline" style="color:rgb(1,2,3)">x</p>'
    )
    text = reports["stopped"].read_text(encoding="utf-8").replace("</main>", f"{strange}</main>")
    path = tmp_path / "strange.html"
    path.write_text(text, encoding="utf-8")
    page.open(path, width=DESK)
    assert page.ask("document.title") != "strange"
    for where in ("h1", "#inline"):
        assert page.ask(f"getComputedStyle(document.querySelector('{where}')).color") != "rgb(1, 2, 3)"
    # A picture that the policy refuses is never read: it has no size.
    assert page.ask("document.querySelector('img').naturalWidth") == 0
    codes = [one["issue"]["code"] for one in page.happened("Audits.issueAdded")]
    assert "ContentSecurityPolicyIssue" in codes


@pytest.mark.parametrize("name", NAMES)
def test_folded_parts_open_by_a_click_and_all_at_once(page, reports, name) -> None:
    page.open(reports[name], width=DESK)
    count = "document.querySelectorAll('details[open]').length"
    every = page.ask("document.querySelectorAll('details').length")
    assert every > 8
    assert page.ask(count) == 0
    x, y = page.ask(
        "(() => { const one = document.querySelector('#asked summary'); one.scrollIntoView({block: 'center'});"
        " const box = one.getBoundingClientRect(); return [box.left + 20, box.top + box.height / 2]; })()"
    )
    for kind in ("mousePressed", "mouseReleased"):
        page.call("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)
    assert page.ask(count) == 1
    assert page.ask("document.querySelector('#asked table').getClientRects().length") > 0
    page.ask("document.getElementById('open-all').click()")
    assert page.ask(count) == every
    page.ask("document.getElementById('open-all').click()")
    assert page.ask(count) == 0


@pytest.mark.parametrize("width", [DESK, PHONE])
@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_comes_first_then_the_steps_and_the_cautions_before_the_mould(
    page, reports, name, width
) -> None:
    page.open(reports[name], width=width)
    order = [
        "sheet", "step-bulb", "step-pattern", "cautions", *(f"step-{one}" for one in STEP_NAMES[2:]),
        "confidence", "asked", "defaults", "meta",
    ]  # fmt: skip
    tops = page.ask(f"{order}.map(name => document.getElementById(name)?.getBoundingClientRect().top)")
    assert None not in tops
    assert tops == sorted(tops)
    assert page.ask("document.querySelector('#cautions').closest('details')") is None
    # The head stays: at the end of the page it is still there.
    page.ask("scrollTo(0, document.documentElement.scrollHeight)")
    assert page.ask("document.querySelector('header').getBoundingClientRect().top") == 0
    assert page.ask("document.querySelector('svg').getBoundingClientRect().top < innerHeight")


@pytest.mark.parametrize("name", NAMES)
def test_the_first_screen_has_the_side_view_the_figures_and_what_to_fix(page, reports, name) -> None:
    page.open(reports[name], width=DESK, height=900)
    for place in ("#sheet svg", "#sheet .keys", "#findings"):
        assert page.ask(f"document.querySelector('{place}').getBoundingClientRect().top") < 700
    assert page.ask("document.querySelector('#sheet svg').getBoundingClientRect().bottom") < 900
    assert page.ask("document.querySelectorAll('#sheet .key').length") == 6


@pytest.mark.parametrize("name", NAMES)
def test_on_a_phone_nothing_makes_the_page_scroll_sideways(page, reports, name) -> None:
    page.open(reports[name], width=PHONE, height=844)
    assert page.ask("document.documentElement.scrollWidth") == PHONE
    opened(page, reports[name], width=PHONE, height=844)
    assert page.ask("document.documentElement.scrollWidth") == PHONE
    assert page.ask(BROKEN) == []
    small = [one for one in page.ask(LETTERING) if one[0] < SMALLEST_ON_PHONE]
    assert small == []
    assert [one for one in page.ask(WORDS) if one[0] < SMALLEST_ON_PHONE] == []


@pytest.mark.parametrize("name", NAMES)
def test_on_a_phone_bars_of_masses_and_the_key_to_the_drawings_fit_and_the_desk_has_the_wide_ones(
    page, reports, name
) -> None:
    def seen() -> tuple[int, list[float]]:
        """Number of figures shown in their phone layout, and overflow of each figure that has such a layout. [px]"""
        return page.ask(
            "(all => [all.filter(one => one.querySelector('.narrow').getClientRects().length).length,"
            " all.map(one => one.scrollWidth - one.clientWidth)])"
            "([...document.querySelectorAll('figure')].filter(one => one.querySelector('.narrow')))"
        )

    opened(page, reports[name], width=PHONE, height=844)
    shown, over = seen()
    assert (shown, max(over)) == (len(over), 0)
    opened(page, reports[name], width=DESK)
    assert seen()[0] == 0
    # Key, bar of what hangs; from finished lead to pattern where there is a pattern.
    assert len(over) >= (2 if name == "stopped" else 3)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("width", [PHONE, DESK])
def test_the_state_of_a_step_keeps_clear_of_its_title(page, reports, name, width) -> None:
    page.open(reports[name], width=width, height=844)
    gaps = page.ask(
        "[...document.querySelectorAll('.step>h2')].map(one => { const range = document.createRange();"
        " range.selectNodeContents([...one.childNodes].find(each => each.nodeType === 3 && each.data.trim()));"
        " const title = range.getBoundingClientRect(), state = one.querySelector('.state').getBoundingClientRect();"
        " return Math.max(state.left - title.right, state.top - title.bottom); })"
    )
    assert len(gaps) == 6
    assert min(gaps) >= 1.0


@pytest.mark.parametrize("name", NAMES)
def test_on_a_phone_captions_and_stacked_rows_stay_on_the_screen(page, reports, name) -> None:
    opened(page, reports[name], width=PHONE, height=844)
    boxes = page.ask(
        "[...document.querySelectorAll('caption, table:not(:has(thead)) :is(th,td)')].map(one => {"
        " const box = one.getBoundingClientRect();"
        " return [one.textContent, box.width, box.height, box.right]; })"
    )
    assert [one for one in boxes if one[3] > PHONE] == []
    captions = page.ask("[...document.querySelectorAll('caption')].map(one => one.textContent)")
    # A caption has one line of 26 px, or is as wide as the screen nearly.
    assert [one for one in boxes if one[0] in captions and one[2] > 45 and one[1] < 0.7 * PHONE] == []


def test_many_findings_run_below_the_drawings_and_not_beside_an_empty_card(page, reports) -> None:
    page.open(reports["larkmoss"], width=DESK)
    page.ask(
        "(list => { for (let i = 0; i < 6; i++) list.append(list.firstElementChild.cloneNode(true)); })"
        "(document.querySelector('#findings>.findings'))"
    )
    drawn, last, findings, keys = page.ask(
        "['.drawn', '.drawn figure:last-child', '#findings', '#sheet .keys'].map(one => {"
        " const box = document.querySelector(one).getBoundingClientRect(); return [box.top, box.bottom, box.width]; })"
    )
    assert drawn[1] - last[1] < 40.0
    assert findings[2] == pytest.approx(drawn[2])
    assert drawn[1] < keys[0] < keys[1] < findings[0] < 800.0


@pytest.mark.parametrize("name", NAMES)
def test_on_paper_lettering_has_seven_points(page, reports, name) -> None:
    opened(page, reports[name], width=PAPER, media="print")
    # Where anything is wider than the sheet, all that is printed is shrunk, drawings to scale and lettering too.
    assert page.ask("document.documentElement.scrollWidth") <= PAPER
    assert [one for one in page.ask(LETTERING) if one[0] < SMALLEST_ON_PAPER] == []
    assert [one for one in page.ask(WORDS) if one[0] < SMALLEST_ON_PAPER] == []


@pytest.mark.parametrize("name", NAMES)
def test_in_the_dark_lettering_stands_out_from_its_paper(page, reports, name) -> None:
    page.open(reports[name], width=DESK, dark=True)
    light = """(colour => { const [r, g, b] = colour.match(/[\\d.]+/g).map(one => {
      const part = one / 255; return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4; });
      return 0.2126 * r + 0.7152 * g + 0.0722 * b; })"""
    ground = page.ask(f"{light}(getComputedStyle(document.querySelector('svg.view')).backgroundColor)")
    inks = page.ask(
        f"[...document.querySelectorAll('svg.view text:not(.inside)')].map(one => {light}(getComputedStyle(one).fill))"
    )
    # WCAG 2.2, success criterion 1.4.3: 4.5 to 1, relative luminance as defined there.
    assert ground < 0.05
    assert min((ink + 0.05) / (ground + 0.05) for ink in inks) >= 4.5


@pytest.mark.slow
@pytest.mark.parametrize("name", ["small", "large"])
def test_the_smallest_and_the_largest_keep_to_phone_and_paper_too(page, ends, name) -> None:
    test_on_a_phone_nothing_makes_the_page_scroll_sideways(page, ends, name)
    test_on_paper_lettering_has_seven_points(page, ends, name)
    test_in_the_dark_lettering_stands_out_from_its_paper(page, ends, name)
    test_a_print_has_its_job_sheet_on_one_page_names_numbers_and_at_most_twelve_pages(page, ends, name)


@pytest.mark.slow
def test_a_print_with_the_cooling_has_at_most_twelve_pages(page, tmp_path) -> None:
    out = tmp_path / "cooled"
    assert command("plan", EXAMPLES / "fenwisp.toml", "--cooling", "--out", out).exit_code == 0
    test_a_print_has_its_job_sheet_on_one_page_names_numbers_and_at_most_twelve_pages(
        page, {"cooled": out / "report.html"}, "cooled"
    )
    assert "Freezing and cooling" in page.ask("document.body.innerText")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_plan_with_everything_has_its_job_sheet_on_the_first_of_at_most_twelve_pages(
    page, ends, paper
) -> None:
    page.open(ends["full"], width=DESK)
    pages = lines_of(pypdfium2.PdfDocument(io.BytesIO(page.printed(paper))))
    assert len(pages) <= 12
    first = " ".join(pages[0])
    assert [said for said in JOB_SHEET if said not in first] == []


def test_a_plan_with_everything_prints_drawings_at_their_scale_and_lettering_of_seven_points(
    page, ends
) -> None:
    test_on_paper_lettering_has_seven_points(page, ends, "full")
    # A drawing with a scale in words asks for a width in its own size of type, and gets it unless paper is narrower.
    shrunk = page.ask(
        "[...document.querySelectorAll('figure')].filter(one => /1:|:1 when/.test(one.textContent)).map(one => {"
        " const drawing = one.querySelector('svg');"
        " return drawing.getBoundingClientRect().width / parseFloat(getComputedStyle(drawing).fontSize); })"
    )
    assert len(shrunk) > 5
    assert min(shrunk) > 0.995


def lines_of(pdf: pypdfium2.PdfDocument) -> list[list[str]]:
    """Lines of text on every page, in the order of the file."""
    return [
        [line.strip() for line in one.get_textpage().get_text_bounded().splitlines() if line.strip()]
        for one in pdf
    ]


@pytest.mark.parametrize("name", NAMES)
def test_a_print_has_its_job_sheet_on_one_page_names_numbers_and_at_most_twelve_pages(
    page, reports, name
) -> None:
    page.open(reports[name], width=DESK)
    title = page.ask("document.querySelector('h1').textContent")
    heads = set(page.ask("[...document.querySelectorAll('h2,h3,h4')].map(one => one.innerText.trim())"))
    pages = lines_of(pypdfium2.PdfDocument(io.BytesIO(page.printed())))
    assert len(pages) <= 12
    first = " ".join(pages[0])
    for said in (title, *JOB_SHEET):
        assert said in first
    for number, lines in enumerate(pages, start=1):
        said = " ".join(lines)
        assert f"{number} of {len(pages)}" in said
        # A long name runs on to a second line at the foot, with the same blanks.
        assert title in said
        # The foot is no line of the page.
        body = [one for one in lines if one not in (title, f"{number} of {len(pages)}")]
        assert re.sub(r"\s+", " ", body[-1]) not in heads


@pytest.mark.parametrize("name", NAMES)
def test_no_page_of_a_print_but_the_last_is_nearly_empty(page, reports, name) -> None:
    page.open(reports[name], width=DESK)
    pdf = pypdfium2.PdfDocument(io.BytesIO(page.printed()))
    for number in range(len(pdf) - 1):
        sheet = pdf[number]
        words = sheet.get_textpage()
        boxes = [words.get_rect(i) for i in range(words.count_rects())]
        # The foot's letters stand below 16 mm, 45 pt.
        lowest = min(bottom for _, bottom, _, _ in boxes if bottom > 45.0)
        assert lowest < 0.5 * sheet.get_height(), number + 1


def test_folded_parts_are_printed_where_they_are_open(page, reports) -> None:
    page.open(reports["fenwisp"], width=DESK)
    by_default = lines_of(pypdfium2.PdfDocument(io.BytesIO(page.printed())))
    opened(page, reports["fenwisp"], width=DESK)
    on_request = lines_of(pypdfium2.PdfDocument(io.BytesIO(page.printed())))
    assert len(on_request) > len(by_default)
    said = " ".join(line for lines in by_default for line in lines)
    asked = " ".join(line for lines in on_request for line in lines)
    assert ("bulb.target_mass" in said, "bulb.target_mass" in asked) == (False, True)
