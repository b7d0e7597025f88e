"""Facets from a 3MF package: every mesh in the build, each moved to its position.

3MF Core Specification 1.3 (3MF Consortium): a zip package whose root relationship names the model part. The model part
contains a unit, objects (each a mesh, or components of other objects) and a build whose items position them. Extensions
that do not affect the mesh (materials) are ignored, and objects in other parts (production) are followed. A file of
unknown origin may be hostile, so every count and size has a limit, for all parts together, enforced while reading. A
small file therefore cannot take minutes to read or use gigabytes of memory. Document type definitions, which the
specification forbids, are refused, since only they can define entities.

This reader uses only the standard library. A hull needs only the core specification's meshes, components and build, and
limits against a hostile zip or XML file have to be enforced while reading.
"""

from __future__ import annotations

import posixpath
import zipfile
import zlib
from array import array
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from io import BytesIO
from xml.parsers import expat

import numpy as np
from numpy.typing import NDArray

from bulbcast.disk.refusals import FileRefusedError

_CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_PRODUCTION = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
_MATERIALS = "http://schemas.microsoft.com/3dmanufacturing/material/2015/02"
_RELATIONSHIPS = "http://schemas.openxmlformats.org/package/2006/relationships"
_MODEL = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
_TAKEN_EXTENSIONS = frozenset((_CORE, _PRODUCTION, _MATERIALS))
_UNITS = {
    "millimeter": "mm",
    "centimeter": "cm",
    "meter": "m",
    "inch": "in",
    "foot": "ft",
    "micron": "micron",
}
_HELD = ("support", "solidsupport")

MOST_UNPACKED = 400_000_000
"""Largest unpacked size of the model parts in bytes; a million facets need about a fifth of it."""
MOST_FACETS = 1_000_000
"""Largest number of facets, both as read from all the parts and after components have repeated them."""
MOST_POINTS = MOST_FACETS
"""Largest number of points; a closed surface has half as many points as facets."""
MOST_PIECES = 10_000
"""Largest number of objects, components and build items in all parts together, and of pieces placed."""
_MOST_PARTS, _DEEPEST, _CHUNK = 64, 16, 1 << 20
_MOST_ELEMENTS = 2 * (MOST_FACETS + MOST_POINTS)
"""Largest number of elements: twice the number of points and facets, to allow for extensions."""
_DEEPEST_ELEMENT = 32
"""Largest nesting depth of elements; the core specification needs seven."""
_MOST_NAMES, _MOST_SPACES = 500, 100
"""Largest number of element, attribute and namespace names, which the parser keeps until the end."""
_LONGEST_WORD = 2 * _CHUNK
"""Maximum size in bytes of one tag or comment, because the parser keeps all of it in memory."""
_LONGEST_DIRECTORY = 4 << 20
"""Maximum size in bytes of the list of files in the zip archive, enough for about 40 000 files."""

Floats = NDArray[np.float64]


@dataclass(slots=True)
class _Object:
    """An object in a model part: a mesh or components."""

    kind: str = "model"
    points: array[float] = field(default_factory=lambda: array("d"))
    corners: array[int] = field(default_factory=lambda: array("q"))
    components: list[tuple[str, str, Floats]] = field(default_factory=list)


@dataclass(slots=True)
class _Part:
    """A model part as read, with its unit, objects by id, and build items (part, object, transform)."""

    unit: str = "millimeter"
    objects: dict[str, _Object] = field(default_factory=dict)
    items: list[tuple[str, str, Floats]] = field(default_factory=list)


def read_three_mf(content: bytes) -> tuple[Floats, str]:
    """Read and join the facets of all objects in the build of a 3MF package.

    Args:
        content: Bytes of the package. [-]

    Returns:
        Corners, shape (m, 3, 3), in the unit of the file, and that unit: mm, cm, m, in or ft. Microns are converted to
        mm. Support structures are ignored.

    Raises:
        FileRefusedError: The content is not a 3MF package, or is damaged, cut short, or too large for a hull.
    """
    try:
        return _read(content)
    except (
        zipfile.BadZipFile,
        zipfile.LargeZipFile,
        zlib.error,
        EOFError,
        NotImplementedError,
        RuntimeError,
    ) as error:
        raise FileRefusedError(
            f"a 3MF package that cannot be unpacked ({_short(error)})",
            "a complete 3MF file",
            "Save or copy the file again, or save the hull as STL.",
        ) from None


def _read(content: bytes) -> tuple[Floats, str]:
    with zipfile.ZipFile(_Archive(content)) as package:
        package_of = _Package(package)
        root = package_of.root()
        first = package_of.part(root)
        placed: list[Floats] = []
        count = [0, 0]
        for path, number, transform in first.items:
            for corners in _placed(package_of, path or root, number, transform, 0, count):
                placed.append(corners)
    if not placed:
        raise FileRefusedError(
            "a 3MF file whose build contains no mesh",
            "a hull among the build items",
            "Select the hull surface in the modeller and save it again.",
        )
    corners = np.concatenate(placed)
    if first.unit == "micron":
        return corners * 1e-3, "mm"
    return corners, _UNITS[first.unit]


def _placed(
    package: _Package, path: str, number: str, transform: Floats, depth: int, count: list[int]
) -> Iterator[Floats]:
    """Return the facets of an object and its components, moved to their positions."""
    if depth > _DEEPEST:
        raise _spoilt(f"components nested more than {_DEEPEST} deep")
    count[0] += 1
    if count[0] > MOST_PIECES:
        raise _too_much(f"more than {_number(MOST_PIECES)} pieces")
    one = package.part(path).objects.get(number)
    if one is None:
        raise _spoilt(f'a piece that refers to object "{number[:20]}", which does not exist')
    if one.kind in _HELD:
        return
    if one.corners:
        count[1] += len(one.corners) // 3
        if count[1] > MOST_FACETS:
            raise _too_fine(MOST_FACETS, "facets")
        points = np.asarray(one.points).reshape(-1, 3)
        corners = np.asarray(one.corners)
        absent = corners[(corners < 0) | (corners >= len(points))]
        if absent.size:
            there = f"its object has {len(points)} corners, numbered from 0"
            raise _spoilt(f"a facet that uses corner {int(absent[0])}, but {there}")
        # Only the points that facets use are moved, since the facets are counted however often a piece is placed.
        yield (points[corners] @ transform[:3] + transform[3]).reshape(-1, 3, 3)
    for part, inner, moved in one.components:
        # A row (x y z 1) times the component's matrix, then times that of the object it belongs to.
        joined = np.vstack([moved[:3] @ transform[:3], moved[3] @ transform[:3] + transform[3]])
        yield from _placed(package, part or path, inner, joined, depth + 1, count)


class _Archive(BytesIO):
    """The package's bytes as a file object, for a zip reader that loads the whole file list of the package at once."""

    def read(self, size: int | None = -1, /) -> bytes:
        if size is not None and size > _LONGEST_DIRECTORY:
            raise _too_much(f"a file list larger than {_LONGEST_DIRECTORY >> 20} MB")
        return super().read(size)


@dataclass(slots=True)
class _Counts:
    """Running totals over all parts of a package."""

    names: set[str] = field(default_factory=set)
    elements: int = 0
    points: int = 0
    facets: int = 0
    pieces: int = 0
    spaces: int = 0


class _Package:
    """The parts of an open package, each of which is read once."""

    def __init__(self, package: zipfile.ZipFile) -> None:
        self._package = package
        # Part names ignore case (ECMA-376 part 2).
        self._names = {info.filename.lstrip("/").lower(): info for info in package.infolist()}
        self._parts: dict[str, _Part] = {}
        self._unpacked = 0
        self._counts = _Counts()

    def root(self) -> str:
        """Return the path of the package's root model part."""
        found: list[str] = []

        def relationship(attributes: dict[str, str]) -> None:
            if attributes.get("Type") == _MODEL:
                found.append(attributes.get("Target", ""))

        if "_rels/.rels" not in self._names:
            raise FileRefusedError(
                "a zip file that is not a 3MF file",
                "a 3MF file that contains a model",
                "Export the hull from the modeller as 3MF or STL.",
            )
        self._parse("_rels/.rels", {f"{_RELATIONSHIPS} Relationship": relationship})
        if not found:
            raise _spoilt("no model part")
        return found[0]

    def part(self, path: str) -> _Part:
        """Read a model part.

        Args:
            path: Path inside the package. [-]
        """
        key = posixpath.normpath("/" + path.replace("\\", "/")).lstrip("/").lower()
        if key not in self._parts:
            if len(self._parts) >= _MOST_PARTS:
                raise _too_much(f"more than {_MOST_PARTS} parts")
            reader = _ModelReader(self._counts)
            self._parse(key, reader.takers(), f"{_CORE} object", reader.end, reader.namespace)
            self._parts[key] = reader.part
        return self._parts[key]

    def _parse(
        self,
        key: str,
        takers: dict[str, Callable[[dict[str, str]], None]],
        closed: str = "",
        end: Callable[[], None] | None = None,
        namespace: Callable[[str | None, str], None] | None = None,
    ) -> None:
        """Pass each element's attributes to the handler for its name, and call `end` at the end of an element named
        `closed`."""
        info = self._names.get(key)
        if info is None:
            raise _spoilt(f'no part "{key[:60]}"')
        parser = expat.ParserCreate(namespace_separator=" ")
        counts, depth, fed = self._counts, 0, 0
        known = counts.names

        def started(name: str, attributes: dict[str, str]) -> None:
            nonlocal depth
            depth += 1
            if depth > _DEEPEST_ELEMENT:
                raise _spoilt(f"elements nested more than {_DEEPEST_ELEMENT} deep")
            counts.elements += 1
            if counts.elements > _MOST_ELEMENTS:
                raise _too_much(f"more than {_number(_MOST_ELEMENTS)} elements")
            if name not in known or not known.issuperset(attributes):
                known.update((name, *attributes))
                if len(known) > _MOST_NAMES:
                    raise _spoilt(f"more than {_MOST_NAMES} element and attribute names")
            taker = takers.get(name)
            if taker is not None:
                taker(attributes)

        def ended(name: str) -> None:
            nonlocal depth
            depth -= 1
            if end is not None and name == closed:
                end()

        def spaced(prefix: str | None, space: str) -> None:
            counts.spaces += 1
            if counts.spaces > _MOST_SPACES:
                raise _spoilt(f"more than {_MOST_SPACES} namespaces")
            if namespace is not None:
                namespace(prefix, space)

        parser.StartElementHandler = started
        parser.EndElementHandler = ended
        parser.StartNamespaceDeclHandler = spaced
        parser.StartDoctypeDeclHandler = _no_document_type
        try:
            with self._package.open(info) as part:
                while chunk := part.read(_CHUNK):
                    fed += len(chunk)
                    self._unpacked += len(chunk)
                    if self._unpacked > MOST_UNPACKED:
                        raise _too_much(f"more than {MOST_UNPACKED // 1_000_000} MB of model data")
                    parser.Parse(chunk, False)
                    if fed - parser.CurrentByteIndex > _LONGEST_WORD:
                        raise _spoilt(f"a tag or a comment larger than {_LONGEST_WORD >> 20} MB")
                parser.Parse(b"", True)
        except expat.ExpatError as error:
            raise _spoilt(
                f"text that is not XML ({expat.errors.messages[error.code]}, line {error.lineno})"
            ) from None


class _ModelReader:
    """Handler for the elements of a model part as they arrive."""

    def __init__(self, counts: _Counts) -> None:
        self.part = _Part()
        self._counts = counts
        self._object: _Object | None = None
        self._spaces: dict[str, str] = {}

    def namespace(self, prefix: str | None, space: str) -> None:
        self._spaces[prefix or ""] = space

    def takers(self) -> dict[str, Callable[[dict[str, str]], None]]:
        """Return the handlers for the elements that this reader uses."""
        return {
            f"{_CORE} {name}": taker
            for name, taker in (
                ("model", self._model),
                ("object", self._begin),
                ("vertex", self._vertex),
                ("triangle", self._triangle),
                ("component", self._component),
                ("item", self._item),
            )
        }

    def end(self) -> None:
        """Handle the end tag of an object element."""
        self._object = None

    def _begin(self, attributes: dict[str, str]) -> None:
        self._piece()
        self._object = _Object(kind=attributes.get("type", "model"))
        number = attributes.get("id", "")
        if number in self.part.objects:
            raise _spoilt(f'two objects numbered "{number[:20]}"')
        self.part.objects[number] = self._object

    def _component(self, attributes: dict[str, str]) -> None:
        self._piece()
        if self._object is not None:
            self._object.components.append(_reference(attributes))

    def _item(self, attributes: dict[str, str]) -> None:
        self._piece()
        self.part.items.append(_reference(attributes))

    def _vertex(self, attributes: dict[str, str]) -> None:
        one = self._object
        if one is None:
            return
        self._counts.points += 1
        if self._counts.points > MOST_POINTS:
            raise _too_fine(MOST_POINTS, "corners")
        try:
            one.points.extend((float(attributes["x"]), float(attributes["y"]), float(attributes["z"])))
        except (KeyError, ValueError):
            raise _spoilt(f"missing or unreadable figures for corner {len(one.points) // 3}") from None

    def _triangle(self, attributes: dict[str, str]) -> None:
        one = self._object
        if one is None:
            return
        self._counts.facets += 1
        if self._counts.facets > MOST_FACETS:
            raise _too_fine(MOST_FACETS, "facets")
        try:
            one.corners.extend((int(attributes["v1"]), int(attributes["v2"]), int(attributes["v3"])))
        except (KeyError, ValueError, OverflowError):
            raise _spoilt(f"missing or unreadable corners for facet {len(one.corners) // 3}") from None

    def _piece(self) -> None:
        self._counts.pieces += 1
        if self._counts.pieces > MOST_PIECES:
            raise _too_much(f"more than {_number(MOST_PIECES)} objects, components and items")

    def _model(self, attributes: dict[str, str]) -> None:
        self.part.unit = attributes.get("unit", "millimeter")
        if self.part.unit not in _UNITS:
            raise _spoilt(f'the unit "{self.part.unit[:20]}"')
        wanted = attributes.get("requiredextensions", "").split()
        strange = [one for one in wanted if self._spaces.get(one) not in _TAKEN_EXTENSIONS]
        if strange:
            raise FileRefusedError(
                f'a 3MF file that needs the extension "{strange[0][:20]}"',
                "a plain mesh",
                "Save the hull again as a plain mesh, or as STL.",
            )


def _reference(attributes: dict[str, str]) -> tuple[str, str, Floats]:
    """Return the part, object and transform of a component or a build item."""
    return (
        attributes.get(f"{_PRODUCTION} path", ""),
        attributes.get("objectid", ""),
        _transform(attributes.get("transform")),
    )


def _transform(text: str | None) -> Floats:
    """Return twelve figures as a matrix of shape (4, 3), which multiplies a row (x y z 1) from the right."""
    if text is None:
        return np.vstack([np.eye(3), np.zeros(3)])
    try:
        figures = [float(word) for word in text.split(maxsplit=12)]
    except ValueError:
        figures = []
    if len(figures) != 12 or not np.all(np.isfinite(figures)):
        raise _spoilt(f'the invalid transform "{text[:40]}"')
    return np.array(figures).reshape(4, 3)


def _no_document_type(*_: object) -> None:
    raise _spoilt("a document type definition, which 3MF forbids")


def _spoilt(what: str) -> FileRefusedError:
    return FileRefusedError(
        f"a 3MF file with {what}",
        "a complete 3MF file",
        "Save the hull again from the modeller, or save it as STL.",
    )


def _too_much(what: str) -> FileRefusedError:
    return FileRefusedError(
        f"a 3MF file with {what}",
        "the surface of one hull",
        "Save only the hull, with fewer facets, or save it as STL.",
    )


def _too_fine(most: int, what: str) -> FileRefusedError:
    return FileRefusedError(
        f"a 3MF file with more than {_number(most)} {what}",
        "fewer",
        "Save the hull as a coarser mesh; 20 000 facets give its displacement to about 0.05 %.",
    )


def _number(count: int) -> str:
    return f"{count:,}".replace(",", " ")


def _short(error: Exception) -> str:
    return (str(error) or type(error).__name__)[:80].rstrip(".")
