"""A model from a full-size lines plan: the scale factor applies to surface, table, waterline and ends."""

from __future__ import annotations

import csv
import io
import json

import pytest
from plans import EXAMPLES, command, example_text

TEXT = example_text("larkmoss")
TABLE = (EXAMPLES / "larkmoss-offsets.csv").read_text(encoding="utf-8")


def planned(folder, lines):
    path = folder / "plan.toml"
    path.write_text(TEXT.replace('offsets = "larkmoss-offsets.csv"', lines), encoding="utf-8")
    done = command("plan", path, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def same(one, other, rel):
    for key in (
        "displaced_volume_m3",
        "buoyancy_x_m",
        "flotation_x_m",
        "waterline_length_m",
        "metacentric_radius_m",
    ):
        assert one["boat"]["hull"][key] == pytest.approx(other["boat"]["hull"][key], rel=rel), key
    assert one["boat"]["freeboard"]["least_on_line_m"] == pytest.approx(
        other["boat"]["freeboard"]["least_on_line_m"], rel=1e-5
    )
    assert one["bulb"]["hung_mass_kg"] == pytest.approx(other["bulb"]["hung_mass_kg"], rel=rel)
    assert one["bulb"]["mass_centre_m"]["x"] == pytest.approx(other["bulb"]["mass_centre_m"]["x"], rel=rel)


def test_a_table_of_the_full_size_boat_at_a_tenth_is_the_models_table(tmp_path):
    (tmp_path / "model.csv").write_text(TABLE, encoding="utf-8")
    rows = list(csv.reader(io.StringIO(TABLE)))
    # Ten times as large, in metres; stations from 3 m forward, levels from 2 m under the waterline.
    heads = []
    for head in rows[0]:
        level = (
            f"wl_{float(head.split('_')[1]) / 100 + 2.0:g}_m" if head.startswith("wl") else head[:-2] + "m"
        )
        heads.append(level)
    moved = [",".join(heads)]
    for row in rows[1:]:
        cells = []
        for head, cell in zip(rows[0], row, strict=True):
            shift = 3.0 if head == "x_mm" else 2.0 if head in ("keel_mm", "sheer_mm") else 0.0
            cells.append(f"{float(cell) / 100 + shift:.6f}" if cell else "")
        moved.append(",".join(cells))
    (tmp_path / "full.csv").write_text("\n".join(moved), encoding="utf-8")
    model = planned(tmp_path, 'offsets = "model.csv"')
    full = planned(
        tmp_path,
        'offsets = "full.csv"\nscale = 0.1\nwaterline = "2 m"\nforward_end = "3 m"\naft_end = "12.5 m"',
    )
    same(full, model, 1e-6)


def test_a_surface_of_the_full_size_boat_at_a_twelfth_is_the_models_surface(tmp_path, maker):
    facets = maker.surface(40, 16)
    (tmp_path / "model.stl").write_bytes(maker.stl(facets))
    # In feet, twelve times as large, the waterline 4 ft up and the origin 10 ft forward.
    large = 12.0 * facets / 304.8 + [10.0, 0.0, 4.0]
    (tmp_path / "full.stl").write_bytes(maker.stl(large))
    model = planned(tmp_path, 'hull = "model.stl"\nwaterline_length = "950 mm"')
    full = planned(
        tmp_path,
        f'hull = "full.stl"\nunit = "ft"\nscale = {1.0 / 12.0!r}\nwaterline = "4 ft"\nforward_end = "10 ft"\n'
        f'waterline_length = "950 mm"\naft_end = "{12.0 * 950.0 / 304.8 + 10.0:.9f} ft"',
    )
    # Single precision of the file, twice.
    same(full, model, 2e-5)
