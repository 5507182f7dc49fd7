"""Donors ranked by the parts they would need."""

import pytest

# The shell wants 246 between the axles and 160 between the mounting faces: 2 (88.5 - 1.5 - 11 + 4).
DONORS = {
    "candidates.near": (247.5, 156, 162, "shaft"),
    "candidates.long": (270, 160, 160, "belt"),
    "candidates.wide": (246.5, 184, 184, "none"),
}
KEYS = ("wheelbase", "hub-faces-front", "hub-faces-rear", "drive")


@pytest.fixture
def with_donors(with_):
    def edit(changes=None):
        rows = {f"{name}.{key}": value for name, row in DONORS.items() for key, value in zip(KEYS, row, strict=True)}
        gone = {f"candidates.longshore.{key}": None for key in KEYS}
        return with_(rows | {"candidates.long.belt-pitch": 3} | gone | (changes or {})).replace(
            "[candidates.longshore]", ""
        )

    return edit


def test_donors_are_ranked_by_parts_to_make(with_donors, result_of):
    """near: stretch -1.5, spine and shaft. long: spine and belt. wide: two sets of arms. Ties go by millimetres."""
    ranked = result_of(with_donors()).donors.ranked

    assert [(one.offer.name, one.parts[0]) for one in ranked] == [("near", 2), ("long", 2), ("wide", 16)]
    assert [one.total_mm[0] for one in ranked] == pytest.approx([1.5 + 4 + 2, 24, 0.5 + 24 + 24])


def test_each_donors_work_is_listed_with_its_numbers(with_donors, result_of):
    jobs = {one.offer.name: list(one.jobs()) for one in result_of(with_donors()).donors.ranked}

    assert jobs["near"] == [
        "shorten the wheelbase by 1.5 mm: a new spine",
        "a centre shaft 1.5 mm shorter",
        "front wheels 2.0 mm further out: wheels of less inset, or spacers",
    ]
    assert jobs["long"] == [
        "shorten the wheelbase by 24.0 mm: a new spine",
        "a belt of 16 teeth less (+0.0 mm left over)",
    ]
    assert jobs["wide"][0] == "front wheels 12.0 mm further in: arms, shafts, camber links and tie-rods (8 parts)"


def test_changes_that_are_planned_count_as_decided(with_donors, verdicts_of):
    """With its stretch and arms the running gear at hand needs nothing more, so no candidate is better."""
    verdict = verdicts_of(with_donors())["stance.candidates"]

    assert (verdict.state, verdict.value, verdict.do) == ("holds", 0, None)


def test_hub_faces_moved_by_new_hubs_count_as_decided_and_a_right_side_of_its_own_is_heard(with_donors, result_of):
    """80 is what the shell asks for; a right side 4 mm further in than the left puts the mean 2 mm in."""
    face = {f"changes.{end}.hardpoints.hub-face.y": 80 for end in ("front", "rear")}
    face |= {f"changes.{end}.arm-longer": None for end in ("front", "rear")}

    moved = result_of(with_donors(face)).donors.own
    uneven = result_of(with_donors({"running-gear.front.right.hub-face.y": -70})).donors.own

    assert [moved.outward_mm[end][0] for end in ("front", "rear")] == pytest.approx([0.0, 0.0])
    assert [uneven.outward_mm[end][0] for end in ("front", "rear")] == pytest.approx([2.0, 0.0])


def test_a_donor_that_saves_many_parts_is_named(with_donors, verdicts_of):
    """As bought: stretch 6 (spine, shaft) and 6 mm a side at each end (two sets of arms) are 18; `near` needs 2."""
    text = with_donors({"changes.stretch": None, "changes.front.arm-longer": None, "changes.rear.arm-longer": None})

    verdict = verdicts_of(text)["stance.candidates"]
    assert (verdict.state, verdict.value) == ("fails", 16)
    assert verdict.do.startswith("near needs least: shorten the wheelbase by 1.5 mm")


def test_without_running_gear_the_best_candidate_is_named_all_the_same(with_donors, findings_of):
    finding = findings_of(with_donors({"running-gear.wheelbase": None}))["stance.candidates"]

    assert finding.missing == ("running-gear.wheelbase",)
    assert finding.do.startswith("near needs least")


def test_a_candidate_without_its_numbers_says_which(with_donors, findings_of):
    findings = findings_of(with_donors({"candidates.long.belt-pitch": None, "candidates.wide.wheelbase": None}))

    assert findings["stance.candidates.long"].missing == ("candidates.long.belt-pitch",)
    assert findings["stance.candidates.wide"].missing == ("candidates.wide.wheelbase",)
    assert findings["stance.candidates"].measured


def test_no_candidates_no_question(with_, findings_of):
    text = with_({f"candidates.longshore.{key}": None for key in KEYS}).replace("[candidates.longshore]", "")

    assert not any(id.startswith("stance.candidates") for id in findings_of(text))
