"""Formers on every kind of closed mould, checked on their facets: none overhangs the pattern, all can be drawn, and the
feeder's stub is sawn off clear of the finish."""

from __future__ import annotations

import math

import numpy as np
import pytest
from plans import example_text

from bulbcast.foundry.gating.feeder import under_saw
from bulbcast.job import run
from bulbcast.pattern_shop.measured import with_pieces
from bulbcast.plan.reading import read_plan

KINDS = [
    ("lying", "upper-lower", "crown"),
    ("lying", "port-starboard", "starboard"),
    ("on-edge", "port-starboard", "crown"),
    ("on-edge", "upper-lower", "starboard"),
    ("nose-up", "upper-lower", "nose"),
    ("nose-up", "port-starboard", "nose"),
    ("tail-up", "upper-lower", "tail"),
    ("tail-up", "port-starboard", "tail"),
]
UP = {"crown": (0, 0, 1), "starboard": (0, 1, 0), "nose": (-1, 0, 0), "tail": (1, 0, 0)}
STEEPEST = math.sin(math.radians(5.1))
"""Sine of the steepest overhang allowed; a sprue widens upwards by 5 degrees so that its former can be drawn. [-]"""


def made(orientation, split, shape=1.0, mass="2.45 kg"):
    text = example_text("fenwisp").replace(
        "[mould]\n", f'[mould]\norientation = "{orientation}"\nsplit = "{split}"\n'
    )
    text = text.replace("fineness = 6.0", f"fineness = 6.0\nwidth_to_height = {shape}").replace(
        "2.45 kg", mass
    )
    job = run(read_plan(f'{text}\n[frame]\nkind = "printed"\n', source="x.toml"), remedies=False)
    return with_pieces(job)


def facets(solid):
    """Corners and unit normals of a solid's facets."""
    mesh = solid.faces()
    corners = mesh.vertices[mesh.triangles]
    cross = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = 0.5 * np.linalg.norm(cross, axis=1)
    kept = area > 1e-12
    return corners[kept], cross[kept] / (2.0 * area[kept, None])


@pytest.mark.parametrize(("orientation", "split", "rise"), KINDS)
@pytest.mark.parametrize("shape", [1.0, 1.8])
def test_no_flat_of_a_former_hangs_over_the_pattern(orientation, split, rise, shape):
    job, solids = made(orientation, split, shape)
    shop, up = job.shop, np.array(UP[rise], dtype=float)
    others = {one.name: one.solid for one in solids.others}
    formers = {f"mould-{one.kind}": one for one in shop.frame.formers if one.kind != "vent"}
    vents = [one for one in shop.frame.formers if one.kind == "vent"]
    formers |= {f"mould-vent-{number}": one for number, one in enumerate(vents, start=1)}
    assert formers
    assert {one.rise for one in formers.values()} == {rise}
    outline = shop.outline
    for name, one in formers.items():
        corners, normals = facets(others[name])
        pull = np.array((0, 1, 0) if shop.frame.plane == "vertical" else (0, 0, 1), dtype=float)
        # Plaster is poured over it against the pull; on end the mould parts upright, and nothing rises under the feeder.
        for way in (pull, up) if rise in ("crown", "starboard") else (pull,):
            for three in corners[normals @ way < -STEEPEST]:
                x, y, z = three[:, 0], three[:, 1], three[:, 2]
                wide = np.interp(x, outline.x, outline.half_width, left=0.0, right=0.0)
                high = np.interp(x, outline.x, outline.half_height, left=0.0, right=0.0)
                ends = (np.abs(x - outline.nose) < 1e-4) | (np.abs(x - outline.tail) < 1e-4)
                if np.allclose(three @ pull, 0.0, atol=1e-9):
                    # On the board, off the pattern, or beside it by half a choke.
                    off = (y / (wide + 1e-12)) ** 2 + (z / (high + 1e-12)) ** 2 > 1.0 - 1e-2
                    assert np.all(off | ends), (name, three)
                    continue
                # It is the saddle: its corners lie on the pattern's skin.
                with np.errstate(divide="ignore", invalid="ignore"):
                    off = np.abs(np.hypot(y / wide, z / high) - 1.0) * np.minimum(wide, high)
                assert np.all((off < 6e-5) | ends), (name, three)
        # It reaches the outside of the mould, and nothing of it is in the pattern.
        assert np.max(corners.reshape(-1, 3) @ up) == pytest.approx(
            np.array([one.x, one.y, one.z]) @ up + one.length, abs=1e-9
        )
        for piece in solids.pieces:
            assert others[name].common(piece.solid).volume <= 1e-12


@pytest.mark.parametrize(("orientation", "split", "rise"), KINDS)
def test_the_printed_frame_stands_clear_of_the_pattern_all_round(orientation, split, rise):
    job, solids = made(orientation, split)
    rings = [one.solid for one in solids.others if one.kind == "mould frame"]
    outline = job.shop.outline
    for ring in rings:
        corners, _ = facets(ring)
        points = corners.reshape(-1, 3)
        wall = 0.9 * job.shop.frame.wall
        clear = (points[:, 0] < outline.nose - wall) | (points[:, 0] > outline.tail + wall)
        plane = 2 if job.shop.frame.plane == "vertical" else 1
        half = float((outline.half_height if plane == 2 else outline.half_width).max())
        assert np.all(clear | (np.abs(points[:, plane]) > half + wall))


@pytest.mark.parametrize(("orientation", "split", "rise"), KINDS)
def test_the_stubs_saw_plane_clears_the_finish_and_what_it_leaves_is_what_the_solids_show(
    orientation, split, rise
):
    job, solids = made(orientation, split)
    up, gating = np.array(UP[rise], dtype=float), job.melting.gating
    feeder = next(one for one in job.shop.frame.formers if one.kind == "feeder")
    pattern = np.concatenate([piece.solid.faces().vertices for piece in solids.pieces]) @ up
    # Level with the highest place of the casting, as the report has it: above the axis, or at the end that is up.
    level = 0.5 * gating.cavity.height if rise in ("crown", "starboard") else float(pattern.max())
    assert float(pattern.max()) <= level + 1e-9
    # The finished skin lies under it by the finish to be filed, grown with the pattern; dowels stand out of no skin.
    finish, scale = job.cast.finish, job.pattern.scale
    body = job.bulb.body
    if rise == "crown":
        own = scale * 0.5 * body.diameter / math.sqrt(body.width_to_height)
    elif rise == "starboard":
        own = scale * 0.5 * body.diameter * math.sqrt(body.width_to_height)
    else:
        own = 0.0 if rise == "nose" else scale * body.length
    assert level - own >= scale * finish - 1.01 * job.plan.pattern.coat
    # The plane cuts the former: below it stands its foot, above it the rest.
    foot = np.array([feeder.x, feeder.y, feeder.z]) @ up
    assert foot < level < foot + feeder.length
    # The metal under a plane level with the pattern's own top and outside its skin, by the former's own solid: half of it
    # where it lies in the parting. What goes down past the gating's foot on a bulb that lies is a few per cent.
    solid = next(one.solid for one in solids.others if one.name == "mould-feeder")
    mesh = solid.parted(tuple(up), float(pattern.max()))[1]
    share = (
        1.0 if (job.shop.frame.plane, rise) in (("vertical", "starboard"), ("horizontal", "crown")) else 2.0
    )
    left = under_saw(gating.cavity.skin, gating.cavity.high_end, gating.feeder)
    assert share * mesh.volume == pytest.approx(left, rel=0.05)
