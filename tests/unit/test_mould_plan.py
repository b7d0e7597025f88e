"""[mould] in the plan: keys that belong together, growth of the cavity, findings, and values that a study can vary."""

from __future__ import annotations

import re

import pytest
from plans import bare_example, command

from bulbcast.files.drying_log import COLUMNS, log_of
from bulbcast.findings import Severity
from bulbcast.job import run
from bulbcast.job.html import report_html
from bulbcast.job.plan_json import plan_object
from bulbcast.job.terminal import terminal_text
from bulbcast.plan.faults import PlanError
from bulbcast.plan.reading import read_plan
from bulbcast.quantities import in_one_unit

# The example's sections on mould and melt are removed, since each test adds its own.
EXAMPLE = bare_example("fenwisp")
PLASTER = '\n[mould]\nmaterial = "plaster"\n'
BAKED = PLASTER + 'drying = "baked"\n'
SAND = '\n[mould]\nmaterial = "sand"\n'


def faults_of(more: str) -> list[str]:
    with pytest.raises(PlanError) as caught:
        read_plan(EXAMPLE + more, source="fen.toml")
    return [fault.message.removeprefix("fen.toml: ") for fault in caught.value.faults]


def job_of(more: str, text: str = EXAMPLE):
    return run(read_plan(text + more, source="fen.toml"))


def found(more: str, code: str, text: str = EXAMPLE):
    return next(one for one in job_of(more, text).findings if one.code == code)


def codes(more: str, text: str = EXAMPLE) -> set[str]:
    return {one.code for one in job_of(more, text).findings}


# Keys


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (
            "\n[mould]\n",
            'mould.material: read nothing; expected one of "plaster", "sand" or "mortar". Add material = "plaster", say, '
            "under [mould].",
        ),
        (
            SAND,
            'mould.sand_kind: read nothing; expected one of "oil-bonded" or "dried", which a sand mould '
            'needs. Add sand_kind = "oil-bonded", say. Green sand is moist and cannot be used here.',
        ),
        (
            SAND + 'sand_kind = "dried"\nconsistency = 70\n',
            'mould.consistency: read consistency with material = "sand"; expected consistency only with '
            'material = "plaster". Remove consistency, or write material = "plaster".',
        ),
        (
            PLASTER + 'sand_kind = "dried"\n',
            'mould.sand_kind: read sand_kind with material = "plaster"; expected sand_kind only with '
            'material = "sand". Remove sand_kind, or write material = "sand".',
        ),
        (
            SAND + 'sand_kind = "oil-bonded"\nsand_moisture = "0.3 %"\n',
            'mould.sand_moisture: read sand_moisture with sand_kind = "oil-bonded"; expected sand_moisture '
            "only with dried sand. Remove sand_moisture: oil-bonded sand is mixed without water.",
        ),
        (
            BAKED + 'kind = "open-halves"\norientation = "nose-up"\n',
            'mould.orientation: read orientation = "nose-up" with kind = "open-halves"; expected orientation '
            '= "lying", since an open half is poured with its flat face up. Remove orientation.',
        ),
        (
            BAKED + 'kind = "open-halves"\ncover = "30 mm"\n',
            'mould.cover: read cover with kind = "open-halves"; expected cover only with kind = "closed". '
            "Remove cover: an open half has nothing over it.",
        ),
        (
            PLASTER + 'drying = "air"\noven = "160 C"\n',
            'mould.oven: read oven with drying = "air"; expected oven only with drying = "baked". Remove '
            "oven: drying in air needs no oven.",
        ),
        (
            BAKED + 'accept_bound_water = "I accept the risk of steam from the bound water"\n',
            'mould.accept_bound_water: read accept_bound_water with drying = "baked"; expected '
            'accept_bound_water only with drying = "air". Remove accept_bound_water: baking drives out the '
            "bound water.",
        ),
        (
            BAKED + 'core = "steel"\n',
            "mould.core: read core, but nothing is cored; expected core only with a cored pocket or a cored "
            'hole. Remove core, or write pocket = "cored" under [fin] or hole = "cored" for a screw.',
        ),
        (
            '\n[resin]\nhighest_temperature = "30 C"\nroom = "35 C"\n',
            'resin.highest_temperature: read "30 C"; expected a temperature above that of the room. Raise it, or '
            "cast in a cooler room: every layer heats up as it cures.",
        ),
    ],
)
def test_keys_that_do_not_belong_together_are_reported_in_one_whole_message(more, message):
    assert faults_of(more) == [message]


@pytest.mark.parametrize(
    ("more", "growth", "source"),
    [
        (
            "",
            -0.0005,
            "judgement: assumes baked plaster, to err towards a heavy casting, until [mould] is given",
        ),
        (
            PLASTER,
            -0.0005,
            "judgement: assumes baked plaster, to err towards a heavy casting, until drying is given in [mould]",
        ),
        (BAKED, -0.0005, "judgement: baked plaster; spread 0.20 %"),
        (
            PLASTER + 'drying = "air"\n',
            0.0020,
            "judgement: plaster dried in air expands as it sets; spread 0.20 %",
        ),
        (
            SAND + 'sand_kind = "oil-bonded"\n',
            0.0,
            "default of the plan format: a sand mould neither grows nor shrinks",
        ),
    ],
)
def test_the_cavitys_growth_follows_what_the_mould_is(more, growth, source):
    plan = read_plan(EXAMPLE + more, source="fen.toml")
    assert plan.pattern.mould_expansion == pytest.approx(growth, abs=1e-15)
    taken = next(one for one in plan.defaults if one.key == "pattern.mould_expansion")
    assert taken.source == source


def test_a_growth_that_is_given_is_taken_as_given():
    given = EXAMPLE.replace('coat = "0.1 mm"', 'coat = "0.1 mm"\nmould_expansion = "0.1 %"')
    assert read_plan(
        given + PLASTER + 'drying = "air"\n', source="x"
    ).pattern.mould_expansion == pytest.approx(1e-3)


def test_defaults_of_plaster_are_not_reported_of_sand():
    plan = read_plan(EXAMPLE + SAND + 'sand_kind = "oil-bonded"\n', source="x")
    said = {one.key for one in plan.defaults if one.key.startswith("mould.")}
    assert said == {"mould.kind", "mould.orientation", "mould.foundry_from"}
    assert plan.mould.consistency is None


def test_the_mould_and_its_defaults_stand_in_the_job():
    job = job_of(BAKED)
    said = {one.key for one in job.defaults}
    assert {"mould.wall", "mould.floor", "mould.cover", "mould.split"} <= said
    assert job.mould.pattern.length == pytest.approx(job.pattern.steps[-2].length)


def test_a_plan_without_the_sections_has_neither_part_in_its_json():
    plan = plan_object(job_of(""))
    assert not {"mould", "drying", "resin"} & set(plan)
    assert "drying_log_sha256" not in plan["meta"]


# Findings


@pytest.mark.parametrize(
    ("more", "code", "remedy"),
    [
        (BAKED + 'wall = "12 mm"\n', "mould-wall-thin", 'Set wall = "25 mm" or more, and bed the mould in dry sand.'),
        (BAKED + "consistency = 100\n", "consistency-unusual",
         "Set consistency = 80, or keep 100 if the bag specifies it."),
        (BAKED + 'oven = "220 C"\n', "oven-too-hot", 'Set oven = "180 C" or less.'),
        (BAKED + 'oven = "110 C"\n', "oven-too-cool", 'Set oven = "130 C" or more.'),
        (BAKED + 'bucket = "1 l"\n', "plaster-batches",
         "Mix several buckets at once with help, or use a larger bucket, and roughen each layer before it sets."),
        (SAND + 'sand_kind = "dried"\nsand_moisture = "2 %"\n', "sand-damp",
         'Heat it until it is dry, and measure again.'),
    ],
)  # fmt: skip
def test_each_finding_has_its_remedy_and_the_value_it_names_fixes_it(more, code, remedy):
    one = found(more, code)
    assert one.remedy == remedy
    typed = re.search(r"Set (\w+ = \S+( (mm|C))?\"?)", remedy)
    if typed:
        key = typed[1].split(" = ")[0]
        repaired = "\n".join(
            typed[1].rstrip(",") if line.startswith(f"{key} =") else line for line in more.splitlines()
        )
        assert code not in codes(repaired + "\n")


def test_dried_sand_of_unknown_moisture_is_a_hold_and_dry_sand_is_none():
    assert "sand-moisture-unknown" in codes(SAND + 'sand_kind = "dried"\n')
    assert not {"sand-moisture-unknown", "sand-damp"} & codes(
        SAND + 'sand_kind = "dried"\nsand_moisture = "0.5 %"\n'
    )
    assert not {"sand-moisture-unknown", "sand-damp", "mould-not-dry"} & codes(
        SAND + 'sand_kind = "oil-bonded"\n'
    )


def test_a_set_mass_is_a_foundrys_work_and_the_mass_is_an_input():
    assert "mould-foundry" not in codes(BAKED)
    one = found(BAKED + 'foundry_from = "2 kg"\n', "mould-foundry")
    assert one.message == (
        "A piece of 2537.6 g poured in one go into a plaster mould is a job for a foundry: above 2000.0 g the melt and "
        "the pour are on hold."
    )
    assert "mould-foundry" not in codes(BAKED + 'foundry_from = "2 kg"\nkind = "open-halves"\n')


def test_an_open_half_dried_in_air_is_not_held_for_its_bound_water():
    said = codes(PLASTER + 'drying = "air"\nkind = "open-halves"\n')
    assert not {"air-dried-closed", "air-dried-heavy", "air-dried-core"} & said
    assert {"mould-not-dry", "air-purity-unknown"} <= said


def test_every_hold_of_mould_and_drying_withholds_the_pour():
    cases = (
        PLASTER, BAKED, PLASTER + 'drying = "air"\n', BAKED + 'oven = "220 C"\n', SAND + 'sand_kind = "dried"\n',
        SAND + 'sand_kind = "dried"\nsand_moisture = "2 %"\n', BAKED + 'foundry_from = "2 kg"\n',
    )  # fmt: skip
    for more in cases:
        job = job_of(more)
        own = [one for one in job.findings if one.severity == "hold" and one.where.startswith("mould")]
        assert own
        assert set(own) <= set(job.pour_withheld)


def test_a_study_varies_the_mould_and_takes_its_growth_along(tmp_path):
    path = tmp_path / "fen.toml"
    path.write_text(EXAMPLE + PLASTER + 'drying = "air"\n', encoding="utf-8")
    out = tmp_path / "out"
    done = command("compare", path, "--vary", "mould.drying=air,baked", "--out", out)
    assert done.exit_code == 0, done.output
    rows = (out / "compare.csv").read_text(encoding="utf-8").splitlines()
    assert [row.split(",")[0] for row in rows] == ["varied.mould.drying", "air", "baked"]


# Report


def report_of(more, log=None):
    job = run(read_plan(EXAMPLE + more, source="fen.toml"), drying_log=log)
    return report_html(job, None), plan_object(job)


def test_the_terminal_tells_mould_and_resin_in_short():
    job = job_of(BAKED + "[resin]\n")
    text = terminal_text(job, colour=False, width=100)
    mould = text[text.index("\nMould\n") : text.index("\nCautions: read")]
    masses = in_one_unit([(job.shown.mass(part.just_set),) for part in job.mould.parts])
    for part, (mass,) in zip(job.mould.parts, masses, strict=True):
        assert part.name in mould
        assert mass in mould
    assert text.index("Cautions: read them before melting any lead") < text.index(
        "Without melting: lead shot in resin"
    )
    plain = terminal_text(job_of(""), colour=False, width=100)
    assert "\nMould\n" not in plain
    assert "Without melting" not in plain


@pytest.mark.parametrize("orientation", ["lying", "on-edge", "nose-up", "tail-up"])
def test_the_report_draws_the_mould_as_it_stands(orientation):
    html, plan = report_of(BAKED + f'orientation = "{orientation}"\n')
    assert '<section id="mould">' in html
    assert "mould-along-title" in html
    assert ("mould-across-title" in html) == (orientation in ("lying", "on-edge"))
    assert plan["mould"]["orientation"] == orientation
    for words in ("Plaster to mix, spare included", "Size: home-made plaster moulds are common"):
        assert words in html


def test_the_report_of_a_sand_mould_has_no_drying():
    html, plan = report_of(SAND + 'sand_kind = "oil-bonded"\nkind = "open-halves"\n')
    assert '<section id="drying">' not in html
    assert '<a href="#drying">' not in html
    assert "Sand to ram" in html
    assert "drying" not in plan
    assert plan["mould"]["mix"] is None


def test_the_report_has_the_drying_curve_with_its_projected_date():
    rows = [",".join(COLUMNS), "2026-06-04T08:00,just set,half,3000 g,,"]
    rows += [
        f"2026-06-04T{hour}:00,weighed,half,{mass} g,160 C,"
        for hour, mass in ((12, 2450), (16, 2110), (20, 1930))
    ]
    log = log_of("\n".join(rows).encode(), ("half",), source="fen-drying.csv")
    html, plan = report_of(BAKED + 'kind = "open-halves"\n', log)
    assert "drying-half-title" in html
    assert "The pour is on hold." in html
    projected = plan["drying"]["parts"][0]["projected"]
    assert projected["readings"] == 4
    day = projected["likely"][5:10]
    assert f"likely {day} " in html
    assert "2026-06-04 20:00" in html
    assert "1930.0 g" in html


def test_a_foundrys_piece_has_no_mould_of_home_laid_out_and_keeps_its_figures_in_plan_json():
    home = {"mould-not-dry", "cope-lifts", "plaster-batches", "mould-part-heavy", "mould-wall-thin"}
    foundry = job_of(BAKED + 'foundry_from = "2 kg"\n')
    assert not home & {one.code for one in foundry.findings}
    page = report_html(foundry, None)
    assert "no mould, drying or gating is planned for casting it at home" in page
    assert "The mould cut along the bulb" not in page
    assert "Weights on the cope" not in page
    at_home, given = (plan_object(one)["mould"] for one in (job_of(BAKED), foundry))
    assert given.keys() == at_home.keys()
    assert given["parts"] == at_home["parts"]


# Mortar

MORTAR = '\n[mould]\nmaterial = "cement mortar"\n'
ACCEPTED = (
    MORTAR
    + 'accept_mortar = "It lost nothing more over two days at 60 C, and I accept the risk of spalling"\n'
)


def test_a_mould_of_mortar_is_on_hold_until_the_sentence_is_typed_and_then_a_caution():
    one = found(MORTAR, "mortar-not-dry")
    assert one.withholds == ("pour",)
    # Standard mortar: 0.5 less 0.23 of the cement leaves, of 4.5 parts that are mixed: 6 %; from the table's densities 5.4.
    assert "5.38 %" in one.message
    assert pytest.approx(0.27 / 4.5, abs=0.007) == (2230.0 - 2110.0) / 2230.0
    assert not {"mortar-not-dry", "mortar-spalls"} & codes(BAKED)
    assert "mortar-spalls" in codes(ACCEPTED)
    assert "mortar-not-dry" not in codes(ACCEPTED)
    for way in {line.way for line in one.fix}:
        lines = [line for line in one.fix if line.way == way]
        again = "\n[mould]\n" + "".join(
            f"{line.key.removeprefix('mould.')} = {line.value}\n" for line in lines
        )
        assert "mortar-not-dry" not in codes(again)


def test_a_part_of_mortar_says_what_is_mixed_and_how_much_water_leaves():
    job = job_of(ACCEPTED)
    page = report_html(job, None)
    assert "water to dry out" in page
    drag = job.mould.parts[0]
    assert drag.just_set == pytest.approx(2230.0 * drag.volume)
    # Cement, sand and water 1 : 3 : 0.5 by mass are all of it.
    cement = drag.just_set / 4.5
    assert job.shown.mass(cement) in page
    assert job.shown.mass(3.0 * cement) in page
    # It takes heat faster than plaster: the casting freezes sooner, and its slowest is still counted.
    plaster = job_of(BAKED)
    assert job.melting.gating.thick_time < plaster.melting.gating.thick_time
    assert job.plan.pattern.mould_expansion == pytest.approx(-0.0006)


def test_halves_are_weighed_and_matched():
    """By hand: filing 0.1 mm off the flat face removes 0.1 mm times its area times the casting's density."""
    job = job_of(BAKED + 'kind = "open-halves"\n')
    thin = 1e-4 * job.melting.gating.cavity.shadow * job.cast.mass / job.cast.volume
    page = report_html(job, None)
    assert "Each half of the casting" in page
    assert f"{job.shown.mass(thin)} for each" in page
    assert job.shown.mass(0.5 * job.cast.mass) in page
    assert "Each half of the casting" not in report_html(job_of(BAKED), None)


# The box that is there


def test_a_box_leaves_what_is_round_the_pattern_on_each_side():
    """By hand: half of the remaining length and width on each side, with floor and cover in their default proportion."""
    usual, mould = (
        job_of(BAKED).mould,
        job_of(BAKED + 'box_length = "340 mm"\nbox_width = "120 mm"\nbox_height = "130 mm"\n').mould,
    )
    pattern, margins = mould.pattern, mould.margins
    assert margins.ends == pytest.approx(0.5 * (0.340 - pattern.length))
    assert margins.sides == pytest.approx(0.5 * (0.120 - pattern.width))
    assert margins.below + margins.above == pytest.approx(0.130 - pattern.height)
    assert margins.below / margins.above == pytest.approx(usual.margins.below / usual.margins.above)
    assert (mould.block.length, mould.block.width, mould.block.height) == pytest.approx((0.340, 0.120, 0.130))
    assert sum(part.volume for part in mould.parts) == pytest.approx(
        0.340 * 0.120 * 0.130 - mould.cavity_volume, rel=1e-9
    )
    # Keys are in the middle of the margins.
    first, _, last = mould.keys
    assert first.along == pytest.approx(-0.5 * margins.ends)
    assert last.along == pytest.approx(pattern.length + 0.5 * margins.ends)
    assert first.across == pytest.approx(-0.5 * pattern.width - 0.5 * margins.sides)


@pytest.mark.parametrize(
    ("typed_box", "code"),
    [
        ('box_length = "250 mm"\n', "box-too-small"),
        ('box_width = "1 1/2 in"\n', "box-too-small"),
        ('box_height = "40 mm"\n', "box-too-small"),
        ('box_length = "290 mm"\n', "mould-wall-thin"),
        ('box_width = "70 mm"\n', "mould-wall-thin"),
        ('box_height = "80 mm"\n', "mould-wall-thin"),
    ],
)
@pytest.mark.parametrize("kind", ["", 'kind = "open-halves"\n'])
def test_a_box_that_is_too_small_says_what_would_do_and_that_does(typed_box, code, kind):
    if kind and "height" in typed_box:
        typed_box = 'box_height = "20 mm"\n' if code == "box-too-small" else 'box_height = "40 mm"\n'
    one = found(BAKED + kind + typed_box, code)
    (line,) = one.fix
    again = codes(BAKED + kind + f"{line.key.removeprefix('mould.')} = {line.value}\n")
    assert not {"box-too-small", "mould-wall-thin"} & again


@pytest.mark.parametrize("leaf", ["length", "width", "height"])
def test_a_box_of_metres_for_a_model_is_asked_about_and_the_fix_answers_it(leaf):
    one = found(BAKED + f'box_{leaf} = "9 m"\n', "box-large")
    assert (one.severity, one.where, one.found) == (Severity.CAUTION, f"mould.box_{leaf}", 9.0)
    (line,) = one.fix
    again = codes(BAKED + f"{line.key.removeprefix('mould.')} = {line.value}\n")
    assert not {"box-large", "box-too-small", "mould-wall-thin"} & again


def test_a_box_and_a_wall_do_not_go_together():
    assert any(
        "both set the thickness of the mould" in one
        for one in faults_of(BAKED + 'wall = "30 mm"\nbox_width = "120 mm"\n')
    )


@pytest.mark.parametrize(
    "way", ['orientation = "on-edge"\n', 'orientation = "nose-up"\n', 'split = "port-starboard"\n']
)
def test_a_box_is_measured_as_the_mould_stands(way):
    box = (
        'box_length = "120 mm"\nbox_width = "120 mm"\nbox_height = "350 mm"\n'
        if "nose" in way
        else 'box_length = "340 mm"\nbox_width = "120 mm"\nbox_height = "130 mm"\n'
    )
    job = job_of(BAKED + way + box + '\n[frame]\nkind = "boards"\n')
    block = job.mould.block
    wanted = (0.120, 0.120, 0.350) if "nose" in way else (0.340, 0.120, 0.130)
    assert (block.length, block.width, block.height) == pytest.approx(wanted)
    assert not {"box-too-small", "mould-wall-thin"} & {one.code for one in job.findings}
    # The frame's inside is the box's, but for the coat of the bare pattern that stands in it.
    frame = job.shop.frame
    inside = sorted((*frame.inside, sum(frame.depths)))
    assert inside == pytest.approx(sorted(wanted), abs=3e-4)
    across = 0.5 * (frame.inside[1])
    for x, level in frame.keys:
        assert frame.along[0] + 0.5 * frame.key_diameter < x < frame.along[1] - 0.5 * frame.key_diameter
        assert abs(level - 0.5 * sum(frame.across)) < across - 0.5 * frame.key_diameter
