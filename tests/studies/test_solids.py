"""What a study is told of a part outlives the file it is kept in."""

import json

from coachwork.studies.solids import Hole, HoleFound, Latch, Measured, Pad, PartSolid, ThinSpot


def test_a_part_comes_back_from_json_as_it_was():
    part = PartSolid(
        name="door", number="P-2", step="a.step", mesh="a.stl", content="0" * 64, spec="1" * 64, process="filament",
        material="PETG", holes=(Hole(name="pins.a", centre_mm=(1.0, 2.0, 3.0), axis=(0.0, 0.0, 1.0), diameter_mm=3.2,
                                     drawn_mm=3.3, depth_mm=4.0, screw="M3"),),
        pads=(Pad(name="lip", against="chassis", centre_mm=(0.0, 0.0, 2.0), normal=(0.0, 0.0, 1.0),
                  along=(1.0, 0.0, 0.0), length_mm=20.0, width_mm=3.0, carries="shear"),),
        latches=(Latch(name="front", root_mm=(0.0, 0.0, 0.0), along=(0.0, 0.0, 1.0), bends=(1.0, 0.0, 0.0),
                       length_mm=12.0, thickness_mm=1.6, width_mm=8.0, deflection_mm=1.2),),
        measured=Measured(solids=1, valid=True, watertight=True, volume_mm3=1.0, area_mm2=6.0,
                          centre_mm=(0.0, 0.0, 0.0), low_mm=(0.0, 0.0, 0.0), size_mm=(1.0, 1.0, 1.0),
                          hull_mm=((1.0, 1.0, 1.0),),
                          thin=(ThinSpot(point_mm=(0.0, 0.0, 0.0), wall_mm=1.0),), narrow=(),
                          holes=(HoleFound(name="pins.a", off_mm=0.0, diameter_mm=3.3, edge_mm=2.0),),
                          trapped_cm3=0.0, overhang_mm2={"-z": 0.0}),
    )  # fmt: skip

    assert PartSolid.from_json(json.loads(json.dumps(part.to_json()))) == part
    assert [hole.name for hole in part.pattern("pins")] == ["pins.a"]
