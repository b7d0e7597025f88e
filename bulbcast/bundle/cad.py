"""Finished lead as a solid with true curved surfaces in the CAD kernel, written as STEP and read back.

This is the only file that uses the kernel, which is optional and loaded only if a STEP file is requested. The outline is
interpolated by five splines with common tangents, because the kernel's integrals over a single long spline are ten times
less accurate. A round body is made by turning the outline, and a flattened one by stretching the round one. The pocket,
holes and recesses are then cut.
"""

from __future__ import annotations

import io
import math
import re
import tempfile
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_GTransform,
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeSolid,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Sewing,
    BRepBuilderAPI_Transform,
)
from OCP.BRepGProp import BRepGProp
from OCP.BRepLib import BRepLib
from OCP.BRepPrimAPI import (
    BRepPrimAPI_MakeBox,
    BRepPrimAPI_MakeCylinder,
    BRepPrimAPI_MakePrism,
    BRepPrimAPI_MakeRevol,
)
from OCP.GC import GC_MakeArcOfCircle
from OCP.GeomAPI import GeomAPI_Interpolate
from OCP.gp import gp_Ax1, gp_Ax2, gp_Dir, gp_GTrsf, gp_Mat, gp_Pnt, gp_Trsf, gp_Vec, gp_XYZ
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.Message import Message, Message_Gravity
from OCP.STEPControl import STEPControl_Reader, STEPControl_StepModelType, STEPControl_Writer
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS

from bulbcast.bulb.body.pieces import Axis
from bulbcast.bulb.body.turned import TurnedBody
from bulbcast.bulb.cuts.fittings import PinCut
from bulbcast.bulb.cuts.parts import PocketCut, ScrewCut
from bulbcast.disk.refusals import ReadBackError
from bulbcast.fin.tip_section import FinTip, edge_corners, grown_piece, half_thickness, trailing_corner
from bulbcast.job import Job
from bulbcast.solids.quadrature import Array

try:
    # Names of the arrays of points and numbers in different versions of the kernel.
    from OCP.collections import HArray1_double as NumberArray
    from OCP.collections import HArray1_gp_Pnt as PointArray
except ImportError:
    from OCP.TColgp import TColgp_HArray1OfPnt as PointArray
    from OCP.TColStd import TColStd_HArray1OfReal as NumberArray

_MM = 1000.0
_PIECES, _POINTS, _MOST_BREAKS = 5, 25, 30
_TO_THE_NOSE = (0.0, 0.05, 0.25, 1.0)
"""Fractions at which the piece at the leading edge is split. Once offset outwards, that piece turns sharply within a
few per cent of the edge."""
_TURN = 1e-6
"""Tolerance within which the leading or trailing edge counts as round, without a corner. [rad]"""
_TOLERANCE = 1e-7


def _point(x: float, y: float, z: float) -> Any:
    return gp_Pnt(_MM * x, _MM * y, _MM * z)


def _spline(points: Array, parameters: Array, tangents: Array) -> Any:
    """Edge through points (x, y, z) [m] at given parameters, with its derivative at both ends."""
    count = len(points)
    places, values = PointArray(1, count), NumberArray(1, count)
    for number, (place, value) in enumerate(zip(points, parameters, strict=True), start=1):
        places.SetValue(number, _point(*(float(each) for each in place)))
        values.SetValue(number, float(value))
    curve = GeomAPI_Interpolate(places, values, False, _TOLERANCE)
    if np.all(np.linalg.norm(tangents, axis=1) > 1e-9):
        # The end of a cusp has no derivative, so the kernel's default end condition is used there.
        curve.Load(*(gp_Vec(*(_MM * float(each) for each in tangent)) for tangent in tangents), False)
    curve.Perform()
    return BRepBuilderAPI_MakeEdge(curve.Curve()).Edge()


def _line(start: Any, end: Any) -> Any:
    return BRepBuilderAPI_MakeEdge(start, end).Edge()


def _face(edges: Sequence[Any]) -> Any:
    wire = BRepBuilderAPI_MakeWire()
    for edge in edges:
        wire.Add(edge)
    return BRepBuilderAPI_MakeFace(wire.Wire()).Face()


def _meridian(body: TurnedBody, phi: Array) -> tuple[Array, Array]:
    """Points of the meridian in the plane y = 0, and their derivative with respect to the angle along the length. [m]"""
    half = 0.5 * phi
    xi = np.sin(half) ** 2
    x = body.uncut_length * xi
    squared, slope = body.squared_radius(x)
    r = np.sqrt(np.maximum(squared, 0.0))
    dx = body.uncut_length * np.sin(half) * np.cos(half)
    with np.errstate(divide="ignore", invalid="ignore"):
        dr = np.where(r > 0.0, 0.5 * slope * dx / np.where(r > 0.0, r, 1.0), 0.0)
    # At a round nose r^2 = slope x and x = L phi^2 / 4, so r rises with the angle at a finite rate. It falls in the same
    # way at a round tail.
    rate = 0.5 * np.sqrt(np.abs(slope) * body.uncut_length)
    dr = np.where(phi == 0.0, rate, np.where(r > 1e-9 * body.diameter, dr, -rate))
    zero = np.zeros_like(x)
    return np.stack([x, zero, r], axis=1), np.stack([dx, zero, dr], axis=1)


def _body(body: TurnedBody) -> Any:
    """Lead body before the cuts. [mm]"""
    end = 2.0 * math.asin(math.sqrt(body.cut))
    breaks = [2.0 * math.asin(math.sqrt(each)) for each in body.profile.breaks if 0.0 < each < body.cut]
    # The curvature of a table of ordinates jumps at its knots. With many knots, one edge per knot would be too many
    # edges, but the pieces are then short and the points close together.
    table = len(breaks) > _MOST_BREAKS
    pieces, points = (4 * _PIECES, 2 * _POINTS) if table else (_PIECES, _POINTS)
    marks = np.unique(np.concatenate([np.linspace(0.0, end, pieces + 1), [] if table else breaks]))
    edges = []
    for low, high in pairwise(marks.tolist()):
        phi = np.linspace(low, high, points)
        places, slopes = _meridian(body, phi)
        if low == 0.0:
            places[0, 2] = 0.0
        if high == end and places[-1, 2] < 1e-9:
            places[-1, 2] = 0.0
        edges.append(_spline(places, phi, slopes[[0, -1]]))
    tail = float(body.radius(np.array([body.length]))[0])
    foot = _point(body.length, 0.0, 0.0)
    if tail > 1e-9:
        edges.append(_line(_point(body.length, 0.0, tail), foot))
    along = gp_Ax1(_point(0.0, 0.0, 0.0), gp_Dir(1.0, 0.0, 0.0))
    wide = math.sqrt(body.width_to_height)
    if wide == 1.0:
        face = _face([*edges, _line(foot, _point(0.0, 0.0, 0.0))])
        return BRepPrimAPI_MakeRevol(face, along).Shape()
    stretch = gp_GTrsf(gp_Mat(1.0, 0.0, 0.0, 0.0, wide, 0.0, 0.0, 0.0, 1.0 / wide), gp_XYZ(0.0, 0.0, 0.0))
    # The body is made in quarters, because the kernel's integrals over a stretched surface that goes all the way round
    # are wrong by 2e-4.
    sewing = BRepBuilderAPI_Sewing(1e-5)
    for number in range(4):
        turn = gp_Trsf()
        turn.SetRotation(along, 0.5 * math.pi * number)
        for edge in edges:
            start = BRepBuilderAPI_Transform(edge, turn, True).Shape()
            quarter = BRepPrimAPI_MakeRevol(start, along, 0.5 * math.pi).Shape()
            sewing.Add(BRepBuilderAPI_GTransform(quarter, stretch, True).Shape())
    sewing.Perform()
    shell = _only_shell(sewing.SewedShape())
    solid = BRepBuilderAPI_MakeSolid(shell).Solid()
    BRepLib.OrientClosedSolid_s(solid)
    return solid


def _only_shell(shape: Any) -> Any:
    explorer = TopExp_Explorer(shape, TopAbs_ShapeEnum.TopAbs_SHELL)
    cast = getattr(TopoDS, "Shell_s", None) or TopoDS.Shell
    return cast(explorer.Current())


def _pocket(axis: Axis, pocket: PocketCut, low: float, high: float) -> Any:
    """Solid of the pocket between two heights. [mm]"""
    tip, clearance = pocket.tip, pocket.clearance
    rise = high - low
    along = gp_Vec(-_MM * axis.shift * rise, 0.0, _MM * rise)

    def at(x: float, y: float) -> tuple[float, float, float]:
        return pocket.leading_edge_x + x - axis.shift * (low - axis.floor), y, low

    if tip.slot is not None and clearance > 0.0:
        own, start = tip.slot.outline, tip.slot.at
        edges = _in_pieces(own, 0.0, lambda x, y: at(start + x, y))
        return BRepPrimAPI_MakePrism(_face(edges), along).Shape()
    if tip.shape is not None:
        return BRepPrimAPI_MakePrism(_face(_in_pieces(tip, clearance, at)), along).Shape()
    count = 60
    u = np.linspace(0.0, 1.0, count + 1)
    side, speed = _grown_side(pocket, u)
    aft = tip.chord + clearance

    def both(sign: float) -> Any:
        places = np.array([at(x, sign * y) for x, y in side])
        tangents = np.array([(dx, sign * dy, 0.0) for dx, dy in speed[[0, -1]]])
        return _spline(places, u, tangents)

    corner, _ = trailing_corner(tip)
    edges = [both(1.0)]
    end = tuple(side[-1])
    if clearance > 0.0:
        edges.append(_arc(at, (tip.chord, corner), clearance, end, (aft, corner)))
    edges.append(_line(_point(*at(aft, corner)), _point(*at(aft, -corner))))
    if clearance > 0.0:
        edges.append(_arc(at, (tip.chord, -corner), clearance, (aft, -corner), (end[0], -end[1])))
    edges.append(both(-1.0))
    return BRepPrimAPI_MakePrism(_face(edges), along).Shape()


def _in_pieces(tip: FinTip, clearance: float, at: Any) -> list[Any]:
    """Outline edges of a section other than the four-digit one, starting at the leading edge and going all the way
    round, starboard side first."""
    (face, fore), (corner, aft) = edge_corners(tip)
    sides = []
    for number, piece in enumerate(tip.shape.pieces if tip.shape else ()):
        for low, high in pairwise((0.0, 1.0) if number else _TO_THE_NOSE):
            share = np.linspace(low, high, _POINTS)
            sides.append((share, *grown_piece(tip, clearance, piece, share)))
    ahead, behind = (-clearance, face), (tip.chord + clearance, corner)
    first, last = ((float(x[end]), float(y[end])) for (_, x, y, _), end in ((sides[0], 0), (sides[-1], -1)))

    def chain(sign: float) -> list[Any]:
        def point(place: tuple[float, float]) -> tuple[float, float]:
            return place[0], sign * place[1]

        edges = []
        if clearance > 0.0 and math.pi - fore > _TURN:
            edges.append(_arc(at, point((0.0, face)), clearance, point(ahead), point(first)))
        for share, x, y, speed in sides:
            places = np.array([at(*point(one)) for one in zip(x.tolist(), y.tolist(), strict=True)])
            tangents = np.array([(*point(one), 0.0) for one in speed.T[[0, -1]].tolist()])
            if float(np.ptp(y)) < 1e-12:
                edges.append(_line(*(_point(*places[end].tolist()) for end in (0, -1))))
            else:
                edges.append(_spline(places, share, tangents))
        if clearance > 0.0 and aft > _TURN:
            edges.append(_arc(at, point((tip.chord, corner)), clearance, point(last), point(behind)))
        return edges

    def across(place: tuple[float, float]) -> list[Any]:
        x, y = place
        return [_line(_point(*at(x, y)), _point(*at(x, -y)))] if y > 1e-9 else []

    return [*chain(1.0), *across(behind), *reversed(chain(-1.0)), *across(ahead)]


def _grown_side(pocket: PocketCut, u: Array) -> tuple[Array, Array]:
    """Points on the curved side of the outline, each offset along the normal from the section at x = chord u^2, and
    their derivatives with respect to u."""
    tip, clearance = pocket.tip, pocket.clearance

    def points(v: Array) -> Array:
        x = tip.chord * v * v
        y, slope = half_thickness(tip, np.maximum(x, 1e-300))
        size = np.sqrt(1.0 + slope * slope)
        with np.errstate(invalid="ignore"):
            ahead = np.where(np.isfinite(slope), slope / size, 1.0)
        return np.stack([x - clearance * ahead, y + clearance / size], axis=1)

    found = points(u)
    found[0] = (-clearance, 0.0)
    # One-sided differences of the fourth order are used, because the curve is smooth as a function of u up to both ends.
    step = 1e-3
    weights = np.array([-25.0, 48.0, -36.0, 16.0, -3.0]) / (12.0 * step)
    ahead = points(np.maximum(step * np.arange(5.0), 1e-9))
    ahead[0] = (-clearance, 0.0)
    behind = points(1.0 - step * np.arange(5.0))
    speed = np.zeros_like(found)
    speed[0], speed[-1] = weights @ ahead, -(weights @ behind)
    speed[0, 0] = 0.0
    return found, speed


def _arc(
    at: Any, centre: tuple[float, float], radius: float, start: tuple[float, float], end: tuple[float, float]
) -> Any:
    """Arc of about a quarter circle between two points, by the shorter route."""
    first = math.atan2(start[1] - centre[1], start[0] - centre[0])
    last = math.atan2(end[1] - centre[1], end[0] - centre[0])
    last += 2.0 * math.pi * round((first - last) / (2.0 * math.pi))
    middle = 0.5 * (first + last)
    through = (centre[0] + radius * math.cos(middle), centre[1] + radius * math.sin(middle))
    arc = GC_MakeArcOfCircle(_point(*at(*start)), _point(*at(*through)), _point(*at(*end)))
    return BRepBuilderAPI_MakeEdge(arc.Value()).Edge()


def _bore(axis: Axis, at_x: float, radius: float, low: float, high: float) -> Any:
    """Cylinder along the fin's axis between two distances from the pocket floor. [mm]"""
    sine, cosine = math.sin(axis.rake), math.cos(axis.rake)
    start = _point(at_x - low * sine, 0.0, axis.floor + low * cosine)
    frame = gp_Ax2(start, gp_Dir(-sine, 0.0, cosine))
    return BRepPrimAPI_MakeCylinder(frame, _MM * radius, _MM * (high - low)).Shape()


def _below_floor(axis: Axis, at_x: float, radius: float, foot: float, body: TurnedBody) -> Any:
    """Bore that starts below the pocket floor and ends at the floor, which is horizontal. [mm]"""
    spare = radius * abs(math.tan(axis.rake))
    bore = _bore(axis, at_x, radius, foot, spare + 1e-3)
    reach = 2.0 * body.length
    above = BRepPrimAPI_MakeBox(
        _point(-reach, -reach, axis.floor), _point(reach, reach, axis.floor + reach)
    ).Shape()
    return BRepAlgoAPI_Cut(bore, above).Shape()


def _screw(axis: Axis, screw: ScrewCut, seat: float, body: TurnedBody) -> list[Any]:
    """Solids of the recess and hole of one screw; none if it misses the lead."""
    if math.isnan(seat):
        return []
    depth = 2.0 * body.height + abs(seat)
    recess = _bore(axis, screw.at_x, 0.5 * screw.recess_diameter, -depth, seat)
    radius = 0.5 * screw.hole_diameter
    if seat >= 0.0:
        return [recess]
    # The hole starts inside the recess, which is wider.
    foot = min(seat, -radius * abs(math.tan(axis.rake))) - 1e-4
    return [recess, _below_floor(axis, screw.at_x, radius, foot, body)]


def _pin(axis: Axis, pin: PinCut, body: TurnedBody) -> Any:
    """Hole for a cross pin, right through the lead. [mm]"""
    x, z = pin.centre(axis)
    frame = gp_Ax2(_point(x, -body.width, z), gp_Dir(0.0, 1.0, 0.0))
    return BRepPrimAPI_MakeCylinder(frame, 0.5 * _MM * pin.hole_diameter, 2.0 * _MM * body.width).Shape()


def bulb_shape(job: Job) -> Any:
    """Solid of the finished lead. [mm]"""
    bulb = job.bulb
    body = bulb.body
    solid = _body(body)
    cutters = []
    if bulb.cuts.pocket.volume > 0.0:
        past = body.height + 2e-3
        low = bulb.axis.floor - (past if bulb.through else 0.0)
        cutters.append(_pocket(bulb.axis, bulb.pocket, low, 0.5 * body.height + past))
    for screw, space in zip(bulb.screw_cuts, bulb.cuts.screws, strict=True):
        cutters += _screw(bulb.axis, screw, space.seat, body)
    cutters += [
        _below_floor(bulb.axis, stud.at_x, 0.5 * stud.diameter, -stud.below, body) for stud in bulb.stud_cuts
    ]
    cutters += [_pin(bulb.axis, pin, body) for pin in bulb.pin_cuts]
    for cutter in cutters:
        solid = BRepAlgoAPI_Cut(solid, cutter).Shape()
    return solid


def step_bytes(shape: Any, name: str) -> bytes:
    """Write the shape as STEP AP214, in mm, with the time, the author and the kernel's counters removed from its header."""
    _silenced()
    writer = STEPControl_Writer()
    Interface_Static.SetCVal_s("write.step.schema", "AP214IS")
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    Interface_Static.SetCVal_s("write.step.product.name", "bulb")
    done = writer.Transfer(shape, STEPControl_StepModelType.STEPControl_AsIs)
    stream = io.BytesIO()
    written = writer.WriteStream(stream) if done == IFSelect_ReturnStatus.IFSelect_RetDone else done
    if written != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise ReadBackError(
            "the CAD kernel could not write bulb.step, and nothing was written. Run without --step."
        )
    text = stream.getvalue().decode("ascii", errors="replace")
    plain = re.sub(r"[^A-Za-z0-9 .,_-]", "_", name)
    head = f"FILE_NAME('{plain}, finished bulb','',(''),(''),'','bulbcast','');"
    text = re.sub(r"PRODUCT\('[^']*','[^']*'", "PRODUCT('bulb','bulb'", text)
    return re.sub(r"FILE_NAME\(.*?\);", lambda _: head, text, count=1, flags=re.DOTALL).encode("ascii")


def _silenced() -> None:
    """Silence the kernel's statistics on stdout, which is reserved for the command's output."""
    for printer in Message.DefaultMessenger_s().Printers():
        printer.SetTraceLevel(Message_Gravity.Message_Fail)


def read_step(content: bytes) -> tuple[float, Array]:
    """Volume [m3] and mass centre [m] of the solid in a STEP file, as read by the kernel."""
    reader = STEPControl_Reader()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bulb.step"
        path.write_bytes(content)
        reader.ReadFile(str(path))
    reader.TransferRoots()
    shape = reader.OneShape()
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, properties)
    centre = properties.CentreOfMass()
    place: Array = np.array([centre.X(), centre.Y(), centre.Z()]) / _MM
    return float(properties.Mass()) / _MM**3, place
