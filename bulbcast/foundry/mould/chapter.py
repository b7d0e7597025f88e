"""Report chapter on the mould: its section, its data, the plaster to mix and the masses to dry down to, or the sand to
ram."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bulbcast.foundry.mould.design import BUCKET_FILL, LARGE_FROM, BlockSize, MouldDesign, MouldPart
from bulbcast.foundry.results import FoundryResults
from bulbcast.materials.plaster import (
    FRESH_MORTAR,
    MORTAR_PARTS,
    PlasterMix,
    mortar_dry_density,
    moulding_sand,
)
from bulbcast.quantities import Shown, worded
from bulbcast.quantities.typed import bought
from bulbcast.report.chapter import (
    Cautions,
    Chapter,
    Data,
    Json,
    Line,
    Part,
    Picture,
    Sources,
    Table,
    ToBuy,
    Words,
)
from bulbcast.report.values import values_of

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View

_STANDS = {
    "lying": "lying flat, parting horizontal",
    "on-edge": "on edge, parting vertical and bulb horizontal",
    "nose-up": "on end, nose up",
    "tail-up": "on end, tail up",
}


def mould_chapter(job: FoundryResults) -> Chapter:
    """Build the chapter on the mould as planned.

    Args:
        job: Results with a mould.

    Raises:
        ValueError: The plan gives no mould.
    """
    design, shown = job.mould, job.shown
    if design is None:
        raise ValueError("the plan gives no mould")
    # Sand is neither dried by weighing nor poured into while warm.
    codes: tuple[str, ...] = ("damp-mould", "plaster", "oven")
    if design.mix is None:
        codes = (
            ("what-floats", "oven") if design.material == "sand" else ("damp-mould", "what-floats", "oven")
        )
    keys = "Dashed lines show keys behind or in front of the cut. " if design.keys else ""
    foundry_from = shown.mass(design.section.foundry_from)

    def section(along: bool) -> View | None:
        from bulbcast.foundry.mould.section_view import mould_section

        return mould_section(job, along=along)

    return Chapter(
        name="mould",
        title="Mould",
        heading="Mould",
        at="mould",
        step="mould",
        parts=[
            Cautions(codes=codes),
            Picture(draw=lambda: section(along=True), caption="Along the bulb. {scale}."),
            Picture(
                draw=lambda: section(along=False), caption="Across the bulb at its largest section. {scale}."
            ),
            Words(text=keys + _ways_drawn(job), style="caption", only="report"),
            Words(text=_brief(design, shown), only="terminal"),
            _lines(design, shown),
            *_material(design, shown),
            Words(
                text=f"Size: home-made plaster moulds are common for pieces up to {shown.mass(LARGE_FROM)}. Larger ones "
                "need mesh and bars and take weeks to dry, so oil-bonded sand is more common. More than "
                f"{foundry_from} poured in one go is a job for a foundry. This piece is {shown.mass(design.piece_mass)}.",
                only="report",
            ),
            Sources(words=_sources(design)),
            _data(design),
            _to_buy(design, shown),
        ],
    )


def _to_buy(design: MouldDesign, shown: Shown) -> ToBuy:
    """Build the table rows on the plaster or sand needed for all parts together."""
    if design.material == "mortar":
        mixed = [_mortar_of(part) for part in design.parts]
        binder, filler = sum(one[0] for one in mixed), sum(one[1] for one in mixed)
        return ToBuy(
            lines=[
                Line("Cement", bought(binder, shown), "Portland, for the mortar"),
                Line("Sand", bought(filler, shown), "sharp, washed and dry"),
            ]
        )
    if design.mix is None:
        sand = sum(part.just_set for part in design.parts)
        lines = [Line("Sand", bought(sand, shown), "dry moulding sand, as rammed")]
        if design.section.sand_kind == "oil-bonded":
            lines.append(Line("Oil", bought(sand * moulding_sand().oil, shown), "for the sand"))
        return ToBuy(lines=lines)
    batches = [part.batch for part in design.parts if part.batch is not None]
    plaster = sum(one.count * one.plaster for one in batches)
    lines = [
        Line(
            "Plaster",
            bought(plaster, shown),
            "plaster of Paris or casting plaster, including what is spilled or left in the bucket",
        )
    ]
    sand = sum(one.count * one.sand for one in batches)
    if sand > 0.0:
        lines.append(Line("Sand", bought(sand, shown), "for the plaster"))
    return ToBuy(lines=lines)


def _ways_drawn(job: FoundryResults) -> str:
    """Say where the sprue, feeder and vents are drawn."""
    gating = None if job.melting is None else job.melting.gating
    if gating is None:
        return "Drawings and masses omit the sprue, feeder and vents, which replace a little of the mould at the top."
    if gating.mark is not None:
        ways = "The lead level and its mark are"
    elif gating.sprue is None:
        ways = "The lead level and the feeder are"
    else:
        ways = "The lead level, sprue, feeder and vents are"
    return f"{ways} drawn in the same section under Gating."


def _brief(design: MouldDesign, shown: Shown) -> str:
    block = design.block
    return (
        f"{design.material}, {design.kind}, {design.orientation}, parting {design.parting}; block "
        f"{shown.length(block.length)} long, {shown.length(block.width)} wide, {shown.length(block.height)} high as poured; "
        f"{'one pour' if design.pours == 1 else f'{design.pours} pours, each'} for a casting of "
        f"{shown.mass(design.piece_mass)}."
    )


def _lines(design: MouldDesign, shown: Shown) -> Table:
    """Describe the mould, line by line."""
    margins, closed = design.margins, design.kind == "closed"

    def size(box: BlockSize) -> str:
        return worded("{} x {} x {}", *(shown.length(side) for side in (box.length, box.width, box.height)))

    kind = "closed, two parts" if closed else f"open halves, poured {design.pours} times"
    halves = "upper and lower" if design.split == "upper-lower" else "port and starboard"
    stands = f"of {design.material}, {_STANDS[design.orientation]}; parts: {halves} halves of the bulb"
    pours, steel = f"casting without the feeder; {design.pours} in all", shown.mass(design.reinforcement)
    reinforced = Line("Reinforcement", steel, "steel in each part, which neither sets nor dries")
    no_line = Line("", "")
    return Table(
        rows=[
            Line("Kind", kind, stands, "kind", design.kind),
            Line("Block, outside", size(design.block), "length, width, height as poured", step="mould"),
            Line("Pattern with its coat", size(design.pattern), "likewise"),
            Line(
                "Wall",
                shown.length(margins.sides),
                "next to the nose, tail and sides",
                "margins.sides_m",
                step="mould",
            ),
            Line("Floor", shown.length(margins.below), "under the pattern", "margins.below_m", step="mould"),
            Line("Cover", shown.length(margins.above), "over the pattern") if closed else no_line,
            _left_in_box(design, shown) if _boxed(design) else no_line,
            Line("Piece poured in one go", shown.mass(design.piece_mass), pours, "piece_mass_kg"),
            Line("Cores", design.core, "for the pocket and holes") if design.core else no_line,
            reinforced if design.reinforcement > 0.0 else no_line,
        ],
        only="report",
    )


def _boxed(design: MouldDesign) -> bool:
    section = design.section
    return any(one is not None for one in (section.box_length, section.box_width, section.box_height))


def _left_in_box(design: MouldDesign, shown: Shown) -> Line:
    """Thickness of mould that an existing box leaves on each side."""
    margins = design.margins
    sides = worded("{} at the ends, {} at the sides", shown.length(margins.ends), shown.length(margins.sides))
    high = f"{shown.length(margins.below)} under the pattern"
    if design.kind == "closed":
        high += f" and {shown.length(margins.above)} over it: set the pattern at these distances before you pour the plaster"
    return Line("Left in your box", sides, high)


def _material(design: MouldDesign, shown: Shown) -> Iterator[Part]:
    """Materials to mix or ram."""
    if design.mix is not None:
        return _plaster(design, design.mix, shown)
    return _sand(design, shown) if design.material == "sand" else _mortar(design, shown)


def _mortar_of(part: MouldPart) -> tuple[float, float, float]:
    """Masses of cement, sand and water for one part of a mortar mould. [kg]"""
    cement, sand, water = (one / sum(MORTAR_PARTS) * FRESH_MORTAR * part.volume for one in MORTAR_PARTS)
    return cement, sand, water


def _mortar(design: MouldDesign, shown: Shown) -> Iterator[Part]:
    """Describe the mortar: cement, sand and water, and how much of the water must dry out."""
    leaves = 1.0 - mortar_dry_density() / FRESH_MORTAR
    yield Table(
        heads=("part", "cement", "sand", "water", "just set", "water to dry out"),
        rows=[
            (
                part.name,
                *map(shown.mass, (*_mortar_of(part), part.just_set, leaves * FRESH_MORTAR * part.volume)),
            )
            for part in design.parts
        ],
        figures=(1, 2, 3, 4, 5),
        caption="Mortar to mix: standard mortar of cement, sand and water, 1 : 3 : 0.5 by mass",
    )
    yield Words(
        text=f"Keep it damp for a week while the cement sets. Then let it dry: four weeks for each {shown.length(0.025)} "
        f"of thickness. At the end, hold it at {shown.temperature(60.0)} and weigh it daily until it loses nothing "
        "for two days. The water bound by the cement remains in it.",
        style="remarks",
        only="report",
    )


def _sand(design: MouldDesign, shown: Shown) -> Iterator[Part]:
    """Describe the sand to ram."""
    oiled = design.section.sand_kind == "oil-bonded"
    yield Table(
        rows=[(part.name, shown.mass(part.just_set), "sand, rammed") for part in design.parts],
        only="terminal",
    )
    yield Table(
        heads=("part", "volume", "sand, rammed", *(["oil"] if oiled else [])),
        rows=[
            (
                part.name,
                shown.volume(part.volume),
                shown.mass(part.just_set),
                *([shown.mass(part.just_set * moulding_sand().oil)] if oiled else []),
            )
            for part in design.parts
        ],
        figures=(1, 2, 3),
        caption="Sand to ram",
        only="report",
    )


def _plaster(design: MouldDesign, mix: PlasterMix, shown: Shown) -> Iterator[Part]:
    """State what each part should weigh and what to mix for it."""
    sanded = mix.sand > 0.0
    brief, weighed, mixed, leaves = [], [], [], []
    for part in design.parts:
        batch = part.batch
        if batch is None:
            continue
        just_set, air, baked, chalky = (
            shown.mass(mass or 0.0) for mass in (part.just_set, part.dry_in_air, part.baked, part.over_baked)
        )
        plaster, water = shown.mass(batch.count * batch.plaster), shown.mass(batch.count * batch.water)
        brief.append((part.name, just_set, air, baked, plaster, water, f"{batch.count}"))
        weighed.append((part.name, shown.volume(part.volume), just_set, air, baked, chalky))
        dry = part.dry_in_air if design.drying == "air" else part.baked
        leaves.append((part.name, shown.mass(part.just_set - (dry or 0.0)), shown.mass(dry or 0.0)))
        each = [batch.plaster, batch.water, *([batch.sand] if sanded else [])]
        mixed.append((part.name, f"{batch.count}", *map(shown.mass, each), plaster, water))
    shares = map(shown.percent, (mix.air_share, mix.baked_share, mix.over_baked_share))
    yield Table(
        heads=("part", "just set", "dried in air", "baked", "plaster", "water", "buckets"),
        rows=brief,
        figures=(1, 2, 3, 4, 5, 6),
        only="terminal",
    )
    yield Table(
        heads=("part", "plaster's volume", "just set", "dried in air", "baked", "chalky below"),
        rows=[*weighed, ("of just set", "", "100 %", *shares)],
        figures=(1, 2, 3, 4, 5),
        caption="What each part should weigh; your weighing of a part when just set replaces the calculated mass",
        only="report",
    )
    how = "dried in air" if design.drying == "air" else "baked"
    yield Table(
        heads=("part", "water to dry out", f"mass when {how}"),
        rows=leaves,
        figures=(1, 2),
        caption="Drying: how much water has to dry out",
        only="report",
    )
    sand = ["sand in each"] if sanded else []
    heads = ("part", "buckets", "plaster in each", "water in each", *sand, "plaster in all", "water in all")
    low, high = mix.setting_rise
    yield Table(
        heads=heads,
        rows=mixed,
        figures=range(1, len(heads)),
        caption="Plaster to mix, spare included",
        only="report",
    )
    yield Words(
        text="Put the water in first. Sift the plaster in, let it soak for a minute or two, and stir without drawing in "
        f"air. Fill a bucket to {BUCKET_FILL * 100.0:.0f} %. A thick block may warm by {low:.0f} to {high:.0f} K "
        "as it sets: use cold water round a printed pattern, and keep your hands out of it.",
        style="caption",
        only="report",
    )


def _sources(design: MouldDesign) -> list[str]:
    if design.material == "mortar":
        return [
            "mortar: EN 196-1 and Powers' bound water, from memory; four weeks for each 25 mm: flooring trade, from memory"
        ]
    if design.mix is None:
        sand = moulding_sand()
        return [
            f"sand's density: {sand.density_source}",
            *([f"oil: {sand.oil_source}"] if design.section.sand_kind == "oil-bonded" else []),
            f"moisture: {sand.moisture_source}",
        ]
    return [
        "masses: stoichiometry of gypsum (hemihydrate takes up 0.1862 of its mass in water; set plaster holds 20.93 % "
        "bound water), IUPAC atomic masses; densities assume no air bubbles",
        f"purity {design.mix.purity * 100.0:.3g} % hemihydrate, the rest assumed inert",
        "chalky below: half-way from hemihydrate to anhydrite, 57 % of the just-set mass at a consistency of 70",
        "walls, keys, bucket: common practice, no source",
    ]


def _data(design: MouldDesign) -> Data:
    """Data that table rows never show, or show only sometimes."""
    mix = design.mix
    return Data(
        values={
            **{
                name: getattr(design, name)
                for name in ("material", "drying", "orientation", "split", "parting", "pours", "core")
            },
            "cavity_volume_m3": design.cavity_volume,
            "block": _box(design.block),
            "pattern": _box(design.pattern),
            "margins.ends_m": design.margins.ends,
            "margins.above_m": design.margins.above,
            "reinforcement_kg": design.reinforcement,
            "mix": None
            if mix is None
            else {
                "water_to_plaster": mix.water,
                "sand_to_plaster": mix.sand,
                "purity": mix.purity,
                "set_density_kg_m3": mix.set_density,
                "dry_in_air_density_kg_m3": mix.air_density,
                "baked_density_kg_m3": mix.baked_density,
                "dry_in_air_to_just_set": mix.air_share,
                "baked_to_just_set": mix.baked_share,
                "over_baked_to_just_set": mix.over_baked_share,
                "anhydrite_to_just_set": mix.anhydrite_share,
                "setting_rise_k": list(mix.setting_rise),
            },
            "parts": [_part(part) for part in design.parts],
            "keys": [values_of(key, "along_m", "across_m", "radius_m") for key in design.keys],
        }
    )


def _box(size: BlockSize) -> Json:
    return values_of(size, "length_m", "width_m", "height_m")


def _part(part: MouldPart) -> Json:
    batch = part.batch
    return {
        "name": part.name,
        "block": _box(part.block),
        **values_of(part, "volume_m3", "just_set_kg", "dry_in_air_kg", "baked_kg"),
        "over_baked_below_kg": part.over_baked,
        "anhydrite_kg": part.anhydrite,
        "batches": None
        if batch is None
        else values_of(batch, "count", "plaster_kg", "water_kg", "sand_kg", "volume_m3"),
    }
