"""Write the hull of an invented model yacht, defined by formulas, as a surface and as a table of offsets.

    python make_hull.py [DIR]

writes `hull.stl` (binary, mm) and `hull-offsets.csv` (mm) into DIR, or into the current folder. Both are in boat axes:
x aft from the forward end of the design waterline, y to starboard, z up from the waterline.

The hull is 1 m long over all and 0.95 m on the waterline. With u = (x + 25) / 1000, from 0 at the stem to 1 at
the transom, s = x / 950 along the waterline, lengths in mm:

    keel         zk = 55 (|2 s - 1|^2.2 - 1)                  deepest amidships, in the water from s = 0 to 1
    deck edge  zd = 62 + 28 (1 - u)^2                       higher at the bow
    its half     bd = 100 (1 - (1 - u / 0.6)^2)      u < 0.6  fine forward,
    breadth      bd = 100 (1 - 0.42 ((u - 0.6) / 0.4)^2)      a broad transom that stands clear of the water
    section      y  = bd (1 - q^2.3)^0.7,  q = (zd - z) / (zd - zk) from 0 at the deck to 1 at the keel

The section's exponents make a round bilge with a little flare.
"""

from __future__ import annotations

import csv
import sys
from pathlib import Path

import numpy as np

LENGTH, WATERLINE, OVERHANG = 1000.0, 950.0, 25.0
DEPTH, FREEBOARD, SPRING, HALF_BEAM, TRANSOM = 55.0, 62.0, 28.0, 100.0, 0.42

STATIONS = (-25.0, *(95.0 * number for number in range(11)), 975.0)
LEVELS = tuple(12.0 * number for number in range(-4, 6))


def keel(x: np.ndarray) -> np.ndarray:
    """Height of the keel's underside. [mm]"""
    return DEPTH * (np.abs(2.0 * x / WATERLINE - 1.0) ** 2.2 - 1.0)


def deck_edge(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Height and half breadth of the deck edge. [mm]"""
    u = (x + OVERHANG) / LENGTH
    forward = 1.0 - (1.0 - u / 0.6) ** 2
    aft = 1.0 - TRANSOM * ((u - 0.6) / 0.4) ** 2
    return FREEBOARD + SPRING * (1.0 - u) ** 2, HALF_BEAM * np.where(u < 0.6, forward, aft)


def half_breadth(x: np.ndarray, z: np.ndarray) -> np.ndarray:
    """Half breadth at a height between keel and deck. [mm]"""
    top, widest = deck_edge(x)
    q = np.clip((top - z) / (top - keel(x)), 0.0, 1.0)
    return widest * (1.0 - q**2.3) ** 0.7


def surface(along: int = 120, up: int = 40) -> np.ndarray:
    """Facets of the hull, shape (n, 3, 3), counter-clockwise seen from outside; deck and transom are flat. [mm]"""
    x = (-OVERHANG + LENGTH * np.arange(along + 1) / along)[:, None]
    # Points gather at the keel, where the sections are roundest.
    share = 1.0 - np.cos(0.5 * np.pi * np.arange(up + 1) / up)
    low, high = keel(x), deck_edge(x)[0]
    z = low + share * (high - low)
    z[:, -1] = high[:, 0]
    y = half_breadth(x, z)
    starboard = np.stack([np.broadcast_to(x, z.shape), y, z], axis=-1)
    port = starboard * (1.0, -1.0, 1.0)

    def patch(rows: np.ndarray) -> np.ndarray:
        a, b, c, d = rows[:-1, :-1], rows[1:, :-1], rows[1:, 1:], rows[:-1, 1:]
        return np.concatenate(
            [np.stack(three, axis=-2).reshape(-1, 3, 3) for three in ((a, c, b), (a, d, c))]
        )

    deck = np.stack([starboard[:, -1], port[:, -1]], axis=1)
    transom = np.stack([starboard[-1], port[-1]], axis=0)
    facets = np.concatenate([patch(starboard), patch(port)[:, ::-1], patch(deck), patch(transom)])
    # At the stem and along the keel both sides meet: facets there have shrunk to lines.
    first, second, third = facets[:, 0], facets[:, 1], facets[:, 2]
    alive = (first != second).any(1) & (second != third).any(1) & (third != first).any(1)
    return facets[alive]


def stl(facets: np.ndarray) -> bytes:
    """The facets as a binary STL file."""
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
    rows = np.zeros(len(facets), dtype=record)
    rows["corners"] = facets
    normal = np.cross(facets[:, 1] - facets[:, 0], facets[:, 2] - facets[:, 0])
    rows["normal"] = normal / np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-300)
    header = b"invented hull, millimetres, boat axes".ljust(80)
    return header + np.uint32(len(facets)).astype("<u4").tobytes() + rows.tobytes()


def offsets() -> list[list[str]]:
    """Rows of the table of offsets; a cell is blank if the hull does not reach that waterline. [mm]"""
    rows = [["x_mm", "keel_mm", "sheer_mm", "sheer_half_mm", *(f"wl_{level:g}_mm" for level in LEVELS)]]
    for station in STATIONS:
        x = np.array([station])
        low, (high, widest) = float(keel(x)[0]), deck_edge(x)
        row = [f"{station:g}", f"{low:.3f}", f"{float(high[0]):.3f}", f"{float(widest[0]):.3f}"]
        for level in LEVELS:
            reached = low <= level <= float(high[0])
            row.append(f"{float(half_breadth(x, np.array([level]))[0]):.3f}" if reached else "")
        rows.append(row)
    return rows


def main() -> None:
    """Write both files and print their names."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path()
    folder.mkdir(parents=True, exist_ok=True)
    facets = surface()
    (folder / "hull.stl").write_bytes(stl(facets))
    with (folder / "hull-offsets.csv").open("w", newline="", encoding="utf-8") as file:
        csv.writer(file, lineterminator="\n").writerows(offsets())
    print(
        f"hull.stl: {len(facets)} facets, mm; hull-offsets.csv: {len(STATIONS)} stations, mm; in {folder.resolve()}"
    )


if __name__ == "__main__":
    main()
