"""Hulls in 3MF files: the file's unit, objects joined in their positions, and malicious packages."""

from __future__ import annotations

import io
import json
import zipfile

import numpy as np
import pytest
from plans import command, example_text

from bulbcast.disk.refusals import FileRefusedError
from bulbcast.hull import three_mf_reading as three_mf
from bulbcast.hull.three_mf_reading import read_three_mf

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
PRODUCTION = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
RELATIONSHIPS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship '
    'Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>'
    "</Relationships>"
)
# A tetrahedron on the axes.
POINTS = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]])
CORNERS = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])


def mesh(points=POINTS, corners=CORNERS):
    vertices = "".join(f'<vertex x="{x!r}" y="{y!r}" z="{z!r}"/>' for x, y, z in points.tolist())
    triangles = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in corners.tolist())
    return f"<mesh><vertices>{vertices}</vertices><triangles>{triangles}</triangles></mesh>"


def model(objects, items, attributes='unit="millimeter"', before=""):
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n{before}<model {attributes} xml:lang="en-US" xmlns="{CORE}">'
        f"<resources>{objects}</resources><build>{items}</build></model>"
    )


def package(text, *, relationships=RELATIONSHIPS, parts=(), compression=zipfile.ZIP_DEFLATED):
    into = io.BytesIO()
    with zipfile.ZipFile(into, "w", compression) as archive:
        archive.writestr("_rels/.rels", relationships)
        archive.writestr("3D/3dmodel.model", text)
        for name, content in parts:
            archive.writestr(name, content)
    return into.getvalue()


def one(text_of_mesh=None, **options):
    return package(
        model(f'<object id="1" type="model">{text_of_mesh or mesh()}</object>', '<item objectid="1"/>'),
        **options,
    )


def refusal(content):
    with pytest.raises(FileRefusedError) as caught:
        read_three_mf(content)
    return str(caught.value)


# Reading


def test_a_mesh_is_read_with_its_unit():
    for word, unit in (
        ("millimeter", "mm"),
        ("centimeter", "cm"),
        ("meter", "m"),
        ("inch", "in"),
        ("foot", "ft"),
    ):
        text = model(f'<object id="7">{mesh()}</object>', '<item objectid="7"/>', f'unit="{word}"')
        corners, found = read_three_mf(package(text))
        assert found == unit
        np.testing.assert_array_equal(corners, POINTS[CORNERS])
    text = model(f'<object id="7">{mesh()}</object>', '<item objectid="7"/>', 'unit="micron"')
    corners, found = read_three_mf(package(text))
    assert found == "mm"
    np.testing.assert_allclose(corners, 1e-3 * POINTS[CORNERS], rtol=1e-15)
    assert (
        read_three_mf(package(model(f'<object id="7">{mesh()}</object>', '<item objectid="7"/>', "")))[1]
        == "mm"
    )


def test_items_and_components_are_moved_to_their_places_and_joined():
    turned = "0 1 0 -1 0 0 0 0 1 10 20 30"
    objects = (
        f'<object id="1">{mesh()}</object>'
        f'<object id="2"><components><component objectid="1" transform="{turned}"/><component objectid="1"/></components>'
        "</object>"
        f'<object id="3" type="support">{mesh()}</object><object id="4">{mesh()}</object>'
    )
    items = '<item objectid="2" transform="2 0 0 0 2 0 0 0 2 100 0 0"/><item objectid="3"/>'
    corners, _ = read_three_mf(package(model(objects, items)))
    # By the specification a row (x y z 1) is multiplied from the right: the quarter turn takes x to y.
    first = POINTS @ np.array([[0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0]]) + [10.0, 20.0, 30.0]
    expected = np.concatenate([2.0 * first[CORNERS], 2.0 * POINTS[CORNERS]])
    # Supports are left out, and so is what the build does not hold.
    np.testing.assert_allclose(corners, expected + np.array([100.0, 0.0, 0.0]), rtol=1e-15)


def test_objects_in_parts_of_their_own_are_followed():
    root = (
        f'<?xml version="1.0"?><model unit="inch" xmlns="{CORE}" xmlns:pr="{PRODUCTION}" requiredextensions="pr">'
        '<resources><object id="5"><components><component pr:path="/3D/Objects/Hull.model" objectid="1"/></components>'
        '</object></resources><build><item objectid="5"/></build></model>'
    )
    part = model(f'<object id="1">{mesh()}</object>', "")
    corners, unit = read_three_mf(package(root, parts=(("3D/Objects/hull.model", part),)))
    assert unit == "in"
    np.testing.assert_array_equal(corners, POINTS[CORNERS])


def planned(folder, lines):
    text = example_text("larkmoss")
    path = folder / "plan.toml"
    path.write_text(text.replace('offsets = "larkmoss-offsets.csv"', lines), encoding="utf-8")
    done = command("plan", path, "--json")
    return done, json.loads(done.stdout) if done.stdout else None


def test_a_hull_in_3mf_gives_the_bulb_that_stl_gives_and_its_unit_is_reported(tmp_path, maker):
    facets = maker.surface(40, 16)
    (tmp_path / "hull.stl").write_bytes(maker.stl(facets))
    points, index = np.unique(facets.reshape(-1, 3), axis=0, return_inverse=True)
    text = model(
        f'<object id="1">{mesh(points / 25.4, index.reshape(-1, 3))}</object>',
        '<item objectid="1"/>',
        'unit="inch"',
    )
    (tmp_path / "hull.3mf").write_bytes(package(text))
    _, by_stl = planned(tmp_path, 'hull = "hull.stl"')
    done, by_3mf = planned(tmp_path, 'hull = "hull.3mf"')
    assert done.exit_code == 0
    assert by_3mf["bulb"]["hung_mass_kg"] == pytest.approx(by_stl["bulb"]["hung_mass_kg"], rel=1e-6)
    unit = [one for one in by_3mf["defaults"] if one["key"] == "boat.unit"]
    assert unit == [{"key": "boat.unit", "value": "in", "source": "as stated in the hull file"}]
    assert [one["key"] for one in by_3mf["meta"]["inputs"]] == ["boat.hull"]
    assert planned(tmp_path, 'hull = "hull.3mf"\nunit = "in"')[0].exit_code == 0
    done, _ = planned(tmp_path, 'hull = "hull.3mf"\nunit = "mm"')
    assert done.exit_code == 2
    assert done.stderr.endswith(
        'boat.unit (hull.3mf): read unit = "mm" with a file whose stated unit is in; expected the file\'s stated unit. '
        "Remove unit, or use scale if the unit in the file is wrong.\n"
    )


def test_a_spoilt_package_is_reported_in_one_message_of_the_plan(tmp_path):
    (tmp_path / "hull.3mf").write_bytes(one()[:200])
    done, _ = planned(tmp_path, 'hull = "hull.3mf"')
    assert done.exit_code == 2
    assert done.stderr.endswith(
        "boat.hull (hull.3mf): read a 3MF package that cannot be unpacked (File is not a zip file); expected a complete "
        "3MF file. Save or copy the file again, or save the hull as STL.\n"
    )


# Spoilt


SPOILT = "; expected a complete 3MF file. Save the hull again from the modeller, or save it as STL."


@pytest.mark.parametrize(
    ("content", "read"),
    [
        (
            one('<mesh><vertices><vertex x="1" y="2"/></vertices></mesh>'),
            "missing or unreadable figures for corner 0",
        ),
        (
            one('<mesh><vertices><vertex x="1" y="2" z="two"/></vertices></mesh>'),
            "missing or unreadable figures for corner 0",
        ),
        (
            one(mesh(corners=np.array([[0, 1, 4]]))),
            "a facet that uses corner 4, but its object has 4 corners, numbered from 0",
        ),
        (
            one(mesh(corners=np.array([[0, 1, -1]]))),
            "a facet that uses corner -1, but its object has 4 corners, numbered from 0",
        ),
        (
            one('<mesh><triangles><triangle v1="0" v2="1"/></triangles></mesh>'),
            "missing or unreadable corners for facet 0",
        ),
        (
            package(model("", '<item objectid="9"/>')),
            'a piece that refers to object "9", which does not exist',
        ),
        (
            package(model(f'<object id="1">{mesh()}</object>', '<item objectid="1" transform="1 0 0"/>')),
            'the invalid transform "1 0 0"',
        ),
        (
            package(
                model(f'<object id="1">{mesh()}</object>', f'<item objectid="1" transform="{"nan " * 12}"/>')
            ),
            'the invalid transform "nan nan nan nan nan nan nan nan nan nan "',
        ),
        (package(model("", "", 'unit="league"')), 'the unit "league"'),
        (
            package(model(f'<object id="1">{mesh()}</object><object id="1">{mesh()}</object>', "")),
            'two objects numbered "1"',
        ),
        (package("<model"), "text that is not XML (unclosed token, line 1)"),
        (
            package("no model", relationships=RELATIONSHIPS.replace("3dmodel.model", "none.model")),
            'no part "3d/none.model"',
        ),
        (package("no model", relationships="<Relationships/>"), "no model part"),
    ],
)
def test_a_spoilt_file_says_what_is_wrong(content, read):
    assert refusal(content) == f"read a 3MF file with {read}{SPOILT}"


def test_an_empty_build_a_bare_zip_and_a_strange_extension_are_reported():
    assert refusal(package(model(f'<object id="1">{mesh()}</object>', ""))) == (
        "read a 3MF file whose build contains no mesh; expected a hull among the build items. Select the hull surface "
        "in the modeller and save it again."
    )
    into = io.BytesIO()
    with zipfile.ZipFile(into, "w") as archive:
        archive.writestr("hull.txt", "no hull")
    assert refusal(into.getvalue()) == (
        "read a zip file that is not a 3MF file; expected a 3MF file that contains a model. Export the hull from the "
        "modeller as 3MF or STL."
    )
    lattice = 'xmlns:b="http://example.org/lattice" requiredextensions="b"'
    assert refusal(package(model("", "", lattice))) == (
        'read a 3MF file that needs the extension "b"; expected a plain mesh. '
        "Save the hull again as a plain mesh, or as STL."
    )


def test_a_flipped_byte_in_the_packed_model_is_noticed():
    content = bytearray(one(compression=zipfile.ZIP_STORED))
    content[content.index(b"vertex x=") + 10] ^= 1
    assert refusal(bytes(content)).startswith(
        "read a 3MF package that cannot be unpacked (Bad CRC-32 for file"
    )


# Hostile


def test_a_document_type_and_with_it_every_entity_is_refused():
    lines = "".join(f'<!ENTITY e{i} "{f"&e{i - 1};" * 10 if i else "x" * 10}">' for i in range(12))
    text = model(f'<object id="&e11;">{mesh()}</object>', "", before=f"<!DOCTYPE model [{lines}]>")
    assert refusal(package(text)) == (
        f"read a 3MF file with a document type definition, which 3MF forbids{SPOILT}"
    )
    outside = '<!DOCTYPE model SYSTEM "file:///etc/hostname">'
    assert "document type definition" in refusal(package(model("", "", before=outside)))
    assert "document type definition" in refusal(one(relationships=f"{outside}<Relationships/>"))


def test_a_package_that_unpacks_to_far_more_than_a_hull_is_refused_as_it_is_read(monkeypatch):
    monkeypatch.setattr(three_mf, "MOST_UNPACKED", 5_000_000)
    content = package(model(" " * 8_000_000, ""))
    assert len(content) < 20_000
    assert refusal(content) == (
        "read a 3MF file with more than 5 MB of model data; expected the surface of one hull. Save only the hull, "
        "with fewer facets, or save it as STL."
    )


def test_components_that_repeat_without_end_are_refused(monkeypatch):
    # Each object holds the one before it ten times: 10^12 pieces.
    doubled = "".join(
        f'<object id="{i}"><components>{f"""<component objectid="{i - 1}"/>""" * 10}</components></object>'
        for i in range(2, 14)
    )
    text = model(f'<object id="1">{mesh()}</object>{doubled}', '<item objectid="13"/>')
    assert refusal(package(text)).startswith("read a 3MF file with more than 10 000 pieces;")
    circle = '<object id="1"><components><component objectid="1"/></components></object>'
    assert refusal(package(model(circle, '<item objectid="1"/>'))) == (
        f"read a 3MF file with components nested more than 16 deep{SPOILT}"
    )
    monkeypatch.setattr(three_mf, "MOST_FACETS", 10)
    items = '<item objectid="1"/>' * 3
    assert refusal(package(model(f'<object id="1">{mesh()}</object>', items))) == (
        "read a 3MF file with more than 10 facets; expected fewer. Save the hull as a coarser mesh; 20 000 facets "
        "give its displacement to about 0.05 %."
    )


def test_a_path_out_of_the_package_finds_nothing():
    root = (
        f'<model xmlns="{CORE}" xmlns:p="{PRODUCTION}"><resources><object id="5"><components><component '
        'p:path="/../../../../etc/passwd" objectid="1"/></components></object></resources>'
        '<build><item objectid="5"/></build></model>'
    )
    assert refusal(package(root)) == f'read a 3MF file with no part "etc/passwd"{SPOILT}'


# Packages whose cost would be far from their size


def many(unit, count, before, after=""):
    """Error message for a package whose model repeats the same text, which compresses to almost nothing."""
    head = f'<model unit="millimeter" xmlns="{CORE}">'
    return refusal(package(f"{head}{before}{unit * count}{after}"))


def test_elements_nested_too_deep_are_refused_while_they_are_read():
    assert many("<a>", 100, "").startswith("read a 3MF file with elements nested more than 32 deep;")


@pytest.mark.parametrize(
    ("unit", "before"),
    [
        ("<item/>", "<build>"),
        ("<component/>", '<resources><object id="1"><components>'),
        ("<component/>", ""),
    ],
)
def test_objects_components_and_items_are_counted_while_they_are_read(unit, before):
    # The text stops in the middle: what is counted is refused before the parser sees that.
    said = many(unit, 10_001, before)
    assert said.startswith("read a 3MF file with more than 10 000 objects, components and items;")


def test_corners_facets_and_elements_are_counted_over_all_objects(monkeypatch):
    monkeypatch.setattr(three_mf, "MOST_POINTS", 7)
    monkeypatch.setattr(three_mf, "MOST_FACETS", 9)
    two = f'<object id="1">{mesh()}</object><object id="2">{mesh()}</object>'
    items = '<item objectid="1"/><item objectid="2"/>'
    assert refusal(package(model(two, items))).startswith("read a 3MF file with more than 7 corners;")
    monkeypatch.setattr(three_mf, "MOST_POINTS", 8)
    assert len(read_three_mf(package(model(two, items)))[0]) == 8
    monkeypatch.setattr(three_mf, "MOST_FACETS", 7)
    assert refusal(package(model(two, items))).startswith("read a 3MF file with more than 7 facets;")
    monkeypatch.setattr(three_mf, "MOST_FACETS", 8)
    monkeypatch.setattr(three_mf, "_MOST_ELEMENTS", 20)
    assert refusal(package(model(two, items))).startswith("read a 3MF file with more than 20 elements;")


def test_names_namespaces_long_tags_and_long_directories_are_bounded():
    names = "".join(f"<a{number}/>" for number in range(600))
    assert "more than 500 element and attribute names" in many(names, 1, "")
    attributes = "".join(f'<a b{number}=""/>' for number in range(600))
    assert "more than 500 element and attribute names" in many(attributes, 1, "")
    assert "more than 100 namespaces" in many('<a xmlns:b="c"/>', 101, "")
    for before in ("<!--", '<a b="', "<?a "):
        assert "a tag or a comment larger than 2 MB" in many("x" * 1000, 4200, before)
    parts = [(f"{number:0200d}", b"") for number in range(18_000)]
    assert "a file list larger than 4 MB" in refusal(one(parts=parts))


def test_a_piece_placed_often_moves_the_points_of_its_facets_alone():
    """With many points, one facet and 9,000 placements, the cost depends on the number of facets, not on the number of
    points."""
    import time

    points = np.zeros((20_000, 3)) + np.arange(20_000)[:, None]
    text = f'<object id="1">{mesh(points, CORNERS[:1])}</object>'
    content = package(model(text, '<item objectid="1"/>' * 9000))
    begun = time.process_time()
    corners, _ = read_three_mf(content)
    assert corners.shape == (9000, 3, 3)
    # 180 million points moved one by one took 10 s and more where this takes 0.4.
    assert time.process_time() - begun < 4.0
