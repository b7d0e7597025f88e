"""The mould in the report: section, plaster to mix, masses to dry down to, the drying log with its curve."""

from __future__ import annotations

from bulbcast.drawing.layout import scale_words
from bulbcast.foundry.drying.curve import drying_curve
from bulbcast.foundry.drying.rules import when
from bulbcast.foundry.drying.words import NEVER_SURE, PART_HEADS, mix_words, part_rows, part_words, pour_words
from bulbcast.foundry.melt.foundry_html import beside
from bulbcast.foundry.mould.design import BUCKET_FILL, LARGE_FROM, MouldDesign
from bulbcast.foundry.mould.section_view import mould_section
from bulbcast.foundry.results import FoundryResults
from bulbcast.materials.plaster import moulding_sand
from bulbcast.quantities import Shown, worded
from bulbcast.report.markup import figure, paragraph, section, sources, table, text

_STANDS = {
    "lying": "lying, its parting level",
    "on-edge": "on edge, its parting upright and the bulb level",
    "nose-up": "on end, nose up",
    "tail-up": "on end, tail up",
}
_SPLIT = {
    "upper-lower": "upper and lower half of the bulb",
    "port-starboard": "port and starboard half of the bulb",
}


def mould_sections(job: FoundryResults) -> str:
    """The mould's section and that of its drying; nothing where the plan gives no mould.

    Args:
        job: The results.
    """
    if job.mould is None:
        return ""
    oiled = job.plan.mould is not None and job.plan.mould.sand_kind == "oil-bonded"
    # Sand is neither dried by the scale nor poured warm.
    body = beside(("what-floats", "oven") if job.mould.mix is None else ("damp-mould", "plaster", "oven"))
    body += _drawings(job)
    body += table(("", "", ""), design_rows(job.mould, job.shown), figures=(1,))
    body += _masses(job.mould, job.shown, oiled=oiled)
    body += _mixing(job.mould, job.shown)
    body += paragraph(size_words(job, job.mould))
    body += sources(_sources(job.mould, oiled=oiled))
    told = section("mould", "Mould", body)
    return told + _drying(job)


def _drawings(job: FoundryResults) -> str:
    told = ""
    for along in (True, False):
        view = mould_section(job, along=along)
        if view is not None:
            words = "Along the bulb." if along else "Across the largest section."
            told += figure(
                view, f"{words} {scale_words(view.scale)} when printed without fitting to the page."
            )
    keys = "Dashed: the keys, which lie beside the cut. " if job.mould is not None and job.mould.keys else ""
    return told + paragraph(
        f"{keys}{_elsewhere(job)}",
        "caption",
    )


def _elsewhere(job: FoundryResults) -> str:
    """Where the ways of the metal are drawn."""
    if job.melting is None or job.melting.gating is None:
        return "Sprue, riser and vents are not in these figures: they take a little plaster away, and stand on top."
    ways = (
        "Lead level and its mark are"
        if job.melting.gating.mark is not None
        else "Lead level, sprue, riser and vents are"
    )
    if job.melting.gating.mark is None and job.melting.gating.sprue is None:
        ways = "Lead level and riser are"
    return f"{ways} drawn into the same section under Gating."


def design_rows(design: MouldDesign, shown: Shown) -> list[tuple[str, str, str]]:
    """What the mould is, line by line.

    Args:
        design: The mould.
        shown: The builder's units.
    """
    block, pattern, margins = design.block, design.pattern, design.margins

    def size(one: object, length: float, width: float, height: float) -> str:
        return worded("{} x {} x {}", *(shown.length(side) for side in (length, width, height)))

    kind = "closed, two parts" if design.kind == "closed" else f"open halves, poured {design.pours} times"
    rows = [
        (
            "Kind",
            kind,
            f"of {design.material}, {_STANDS[design.orientation]}; parts are {_SPLIT[design.split]}",
        ),
        (
            "Block, outside",
            size(block, block.length, block.width, block.height),
            "length, width, height as it is poured",
        ),
        ("Pattern with its coat", size(pattern, pattern.length, pattern.width, pattern.height), "likewise"),
        ("Wall", shown.length(margins.sides), "beside nose, tail and sides"),
        ("Floor", shown.length(margins.below), "under the pattern"),
    ]
    if design.kind == "closed":
        rows.append(("Cover", shown.length(margins.above), "over the pattern"))
    rows.append(
        (
            "Piece poured at once",
            shown.mass(design.piece_mass),
            f"casting without feeder; {design.pours} in all",
        )
    )
    if design.core is not None:
        rows.append(("Cores", design.core, "of pocket and holes that are cored"))
    if design.reinforcement > 0.0:
        rows.append(
            (
                "Reinforcement",
                shown.mass(design.reinforcement),
                "steel in each part, which neither sets nor dries",
            )
        )
    return rows


def _masses(design: MouldDesign, shown: Shown, *, oiled: bool) -> str:
    if design.mix is None:
        sand = moulding_sand()
        rows = [
            (
                part.name,
                shown.volume(part.volume),
                shown.mass(part.just_set),
                *((shown.mass(part.just_set * sand.oil),) if oiled else ()),
            )
            for part in design.parts
        ]
        return table(
            ("part", "volume", "sand, rammed", *(("oil",) if oiled else ())),
            rows,
            figures=(1, 2, 3),
            caption="Sand to ram",
        )
    mix = design.mix
    dried = [
        (
            part.name,
            shown.volume(part.volume),
            shown.mass(part.just_set),
            shown.mass(part.dry_in_air or 0.0),
            shown.mass(part.baked or 0.0),
            shown.mass(part.over_baked or 0.0),
        )
        for part in design.parts
    ]
    dried.append(
        (
            "of just set",
            "",
            "100 %",
            shown.percent(mix.air_share),
            shown.percent(mix.baked_share),
            shown.percent(mix.over_baked_share),
        )
    )
    return table(
        ("part", "plaster's volume", "just set", "dried in air", "baked", "chalky below"),
        dried,
        figures=(1, 2, 3, 4, 5),
        caption="What each part should weigh; the scale's just-set reading takes the place of the computed one",
    )


def _mixing(design: MouldDesign, shown: Shown) -> str:
    mix = design.mix
    if mix is None:
        return ""
    rows = []
    for part in design.parts:
        batch = part.batch
        if batch is None:
            continue
        rows.append(
            (
                part.name,
                f"{batch.count}",
                shown.mass(batch.plaster),
                shown.mass(batch.water),
                *((shown.mass(batch.sand),) if mix.sand > 0.0 else ()),
                shown.mass(batch.count * batch.plaster),
                shown.mass(batch.count * batch.water),
            )
        )
    sand = ("sand in each",) if mix.sand > 0.0 else ()
    heads = (
        "part",
        "buckets",
        "plaster in each",
        *("water in each", *sand),
        "plaster in all",
        "water in all",
    )
    low, high = mix.setting_rise
    return table(
        heads, rows, figures=tuple(range(1, len(heads))), caption="Plaster to mix, the spare reckoned in"
    ) + paragraph(
        f"Water first; sift the plaster in, let it soak a minute or two, stir without air; a bucket is filled to "
        f"{BUCKET_FILL * 100.0:.0f} %. A thick block warms itself by up to {low:.0f} to {high:.0f} K on setting: start with "
        "cold water round a printed pattern, and keep hands out.",
        "caption",
    )


def size_words(job: FoundryResults, design: MouldDesign) -> str:
    """Sand or plaster, how big: from which mass on it is whose work.

    Args:
        job: The results.
        design: Its mould.
    """
    shown = job.shown
    limit = job.plan.mould.foundry_from if job.plan.mould is not None else 0.0
    return (
        f"How big: a plaster mould at home is usual for pieces up to {shown.mass(LARGE_FROM)}; above that it wants "
        "mesh, bars and weeks to dry, and oil-bonded sand is the usual way. Above "
        f"{shown.mass(limit)} poured at once it is a foundry's work. This piece is {shown.mass(design.piece_mass)}."
    )


def _sources(design: MouldDesign, *, oiled: bool) -> list[str]:
    if design.mix is None:
        sand = moulding_sand()
        return [
            f"sand's density: {sand.density_source}",
            *([f"oil: {sand.oil_source}"] if oiled else []),
            f"moisture: {sand.moisture_source}",
        ]
    return [
        "masses: stoichiometry of gypsum (water taken up 0.1862 of the hemihydrate; 20.93 % bound in set plaster), IUPAC "
        "atomic masses; densities without air",
        f"purity {design.mix.purity * 100.0:.3g} % hemihydrate, the rest taken as inert",
        "chalky below: half-way from hemihydrate to anhydrite, 57 % of just set at a consistency of 70",
        "walls, keys, bucket: common practice, no source",
    ]


def _drying(job: FoundryResults) -> str:
    state, shown = job.drying, job.shown
    if state is None:
        return ""
    body = f"<p><strong>{text(pour_words(state))}</strong></p>\n"
    if state.moment is not None:
        body += paragraph(
            f"As the log stands at its last entry, {when(state.moment)}; ask bulbcast dry right before the pour.",
            "caption",
        )
    body += table(PART_HEADS, part_rows(state, shown), figures=(1, 2, 3, 4, 5))
    body += paragraph(mix_words(state, shown))
    for part in state.parts:
        items = "".join(f"<li>{text(words)}</li>" for words in part_words(part, state, shown))
        body += f"<h3>{text(part.name[:1].upper() + part.name[1:])}</h3>\n<ul>{items}</ul>\n"
        view = drying_curve(part, state, shown)
        if view is not None:
            body += figure(
                view,
                "Open mark: just set; full marks: weighings; line and band: the courses that fit them, one in ten to "
                "nine in ten.",
            )
        if part.weighings:
            rows = [
                (
                    when(one.time),
                    shown.mass(one.value),
                    "\u2013" if one.air is None else shown.temperature(one.air),
                    {True: "moving", False: "still", None: "\u2013"}[one.moving_air],
                )
                for one in part.weighings
            ]
            body += table(("weighed at", "mass", "air", ""), rows, figures=(1, 2))
    body += paragraph(NEVER_SURE)
    return section("drying", "Drying of the mould", body)
