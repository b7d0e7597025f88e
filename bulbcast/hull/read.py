"""A hull as read, and the faults in a plan whose hull cannot be used."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bulbcast.hull.design_line import DesignLine, design_line_of_numbers
from bulbcast.hull.faults import HullError, HullRemark
from bulbcast.plan.faults import Fault, PlanError
from bulbcast.plan.input_file import InputFile
from bulbcast.plan.sections import Plan
from bulbcast.quantities.frozen import frozen

if TYPE_CHECKING:
    from bulbcast.hull.mesh import HullMesh
    from bulbcast.hull.offsets_hull import OffsetsHull
    from bulbcast.hull.outline import HullOutline


@frozen
class HullRead:
    """A hull as read, upright on its design waterline.

    Attributes:
        line: Figures of the hull.
        remarks: Remarks on repairs made and anything unusual.
        notes: Sentences on how the figures were calculated.
        mesh: Surface from a file; None if the hull was not given as a surface.
        offsets: Table of offsets; None for other hulls.
        outline: Profile and deck edge; None if the hull is given as numbers only.
        unit: Unit of the surface file, such as "mm"; None for other hulls.
        unit_of_file: Whether the unit is stated in the file itself.
        file: File from which the hull was read; None if the hull is given as numbers only.
    """

    line: DesignLine
    remarks: tuple[HullRemark, ...]
    notes: tuple[str, ...]
    mesh: HullMesh | None = None
    offsets: OffsetsHull | None = None
    outline: HullOutline | None = None
    unit: str | None = None
    unit_of_file: bool = False
    file: InputFile | None = None

    def surface(self) -> HullMesh | None:
        """The hull's outside as facets, built from the table if one was given; None if the hull is given as numbers only."""
        if self.mesh is not None or self.offsets is None:
            return self.mesh
        from bulbcast.hull.offsets_mesh import mesh_of_offsets

        return mesh_of_offsets(self.offsets)


def hull_of_numbers(plan: Plan) -> HullRead:
    """Build the hull of a plan that gives it as numbers only.

    Raises:
        PlanError: The figures are impossible for a hull.
    """
    if plan.boat is None:
        raise ValueError("the plan has no boat")
    try:
        line = design_line_of_numbers(plan.boat, plan.water.density)
    except HullError as error:
        raise PlanError(faults_of_hull(plan.source, "[boat]", error)) from None
    return HullRead(line=line, remarks=(), notes=())


def faults_of_hull(source: str, key: str, error: HullError) -> list[Fault]:
    """Return the faults in a plan whose hull cannot be used.

    Args:
        source: Name of the plan file in messages.
        key: Key or section in the plan; for a hull from a file, the key with the file's name in brackets.
        error: Error that contains every fault of the hull.
    """
    faults = []
    for one in error.faults:
        place = "" if one.place is None else " at " + ", ".join(f"{value:.5g}" for value in one.place)
        read, expected = one.message.rstrip("."), "a hull that can float on its design waterline"
        faults.append(Fault(source, f"{key}{place}", read, expected, one.remedy))
    return faults
