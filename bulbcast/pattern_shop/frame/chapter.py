"""The report's chapter on the mould frame: sizes, keys, formers and the cut list of its boards."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from bulbcast.pattern_shop.frame.formers import Former
from bulbcast.pattern_shop.frame.frame import MouldFrame
from bulbcast.pattern_shop.results import ShopResults
from bulbcast.pattern_shop.shop import angle_words
from bulbcast.quantities import Shown, worded
from bulbcast.report.chapter import Heading, Line, Part, Picture, Table, Words
from bulbcast.report.values import Json, values_of

if TYPE_CHECKING:
    from bulbcast.drawing.shapes import View


def frame_parts(job: ShopResults, frame: MouldFrame) -> Iterator[Part]:
    """Chapter on the mould frame.

    Args:
        job: The results.
        frame: The mould frame.
    """
    shown = job.shown

    def view() -> View | None:
        from bulbcast.pattern_shop.frame.view import frame_view

        return frame_view(job)

    yield Heading(text="The mould frame", only="report")
    yield Picture(draw=view, caption="Frame, pattern, keys and passages. {scale}.")
    deep = " and ".join(dict.fromkeys(shown.length(depth) for depth in frame.depths))
    walls = f"both halves; walls {shown.length(frame.wall)}, floors {shown.length(frame.floor)}"
    high = shown.length(frame.key_height)
    one_way = f"round, {high} high, one off centre so that the halves fit only one way"
    keys = worded(f"{len(frame.keys)} of {{}}", shown.length(frame.key_diameter))
    yield Table(
        rows=[
            Line("inside", worded("{} by {}", *map(shown.length, frame.inside)), f"{deep} deep"),
            Line("mould material", shown.volume(frame.mould_volume), walls),
            Line("keys", keys, one_way),
            *(_former(one, shown) for one in frame.formers),
        ],
        figures=(),
        only="report",
    )
    if frame.boards:
        yield Table(
            rows=[
                (one.name, str(one.count), *map(shown.length, (one.length, one.width, one.thickness)))
                for one in frame.boards
            ],
            heads=("boards", "how many", "length", "width", "thickness"),
            figures=(1, 2, 3, 4),
            caption="Cut list",
            only="report",
        )
        yield Words(
            text="The ends go between the sides. Screw the frame together and do not glue it, since it must come away "
            "from the mould. Wax it and seal its corners with clay.",
            style="remarks",
            only="report",
        )


def _former(one: Former, shown: Shown) -> Line:
    taper = math.atan2(0.5 * (one.top_diameter - one.foot_diameter), one.length)
    place = {
        "crown": f"{shown.length(one.x)} from the nose",
        "starboard": f"{shown.length(one.x)} from the nose, on the upper side",
        "nose": "on the nose, which faces up",
        "tail": "on the tail, which faces up",
    }[one.rise]
    remark = f"{shown.length(one.length)} long, {place}, tapered {angle_words(taper)}"
    if one.beside:
        aside = max(abs(one.y), abs(one.z))
        remark += f"; {shown.length(aside)} to one side of the axis; cut a gate from its foot to the pattern"
    else:
        remark += "; cut to sit on the pattern"
    ends = map(shown.length, (one.foot_diameter, one.top_diameter))
    return Line(one.kind, worded("{} at the pattern, {} at the top", *ends), remark)


def frame_object(frame: MouldFrame) -> Json:
    """Data on the mould frame, boards, keys and formers for plan.json.

    Args:
        frame: The mould frame.
    """
    return {
        **values_of(frame, "kind", "plane", "wall_m", "floor_m"),
        "inside_m": {"length": frame.inside[0], "width": frame.inside[1]},
        "inside_from_m": {"x": frame.along[0], "across": frame.across[0]},
        "depths_m": list(frame.depths),
        "board_m": frame.board,
        "boards": [
            values_of(one, "name", "count", "length_m", "width_m", "thickness_m") for one in frame.boards
        ],
        "keys": {
            "diameter_m": frame.key_diameter,
            "height_m": frame.key_height,
            "at_m": [{"x": x, "across": across} for x, across in frame.keys],
        },
        "formers": [
            values_of(
                one, "kind", "rise", "x_m", "y_m", "z_m", "length_m", "foot_diameter_m", "top_diameter_m"
            )
            for one in frame.formers
        ],
        "mould_volume_m3": frame.mould_volume,
    }
