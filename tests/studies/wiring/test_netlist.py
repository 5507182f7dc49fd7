"""Who is joined to whom, from names alone."""

from __future__ import annotations

from pathlib import Path

from coachwork.build import read_text
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.regulators import Regulators
from coachwork.build.sections.wiring import Wiring
from coachwork.studies.wiring.netlist import read_netlist

RADIO = """
[radio.controls]
button = { kind = "button" }
[radio.channels]
one = { number = 1, control = "button", failsafe = "off" }
[radio.devices]
lamp = { kind = "switched", channel = "one", switches-at = 1500 }
glow = { kind = "plain", powered-by = "lamp" }
drive = { kind = "proportional", channel = "one", powered-by = "own pack" }
"""
REGULATOR = '[regulators.main]\nkind = "linear"\nfed-by = "controller"\n'


def netlist(text, cells=2):
    build = read_text(text, Path("b"))
    return read_netlist(cells=cells, regulators=build[Regulators], wiring=build[Wiring], radio=build[Radio])


def node_of(found, name):
    return next(one.node for one in found.loads if one.name == name)


def test_without_leads_everything_sits_on_what_feeds_it():
    """The regulator at the pack, the receiver and its devices at the regulator."""
    found = netlist(REGULATOR + RADIO)

    (main,) = found.regulators
    assert main.input == "pack"
    assert node_of(found, "receiver") == node_of(found, "lamp") == node_of(found, "glow") == main.output
    assert node_of(found, "motor") == "pack"
    assert found.unfed == ()


def test_a_device_on_its_own_pack_is_no_load_here():
    assert "drive" not in {one.name for one in netlist(REGULATOR + RADIO).loads}


def test_a_lead_that_ends_at_a_device_takes_with_it_what_is_fed_through_that_device():
    found = netlist(
        REGULATOR + RADIO + '[wiring.leads.l]\nbegins = "receiver"\nends = "lamp"\narea = 0.2\n'
    )  # fmt: skip

    assert node_of(found, "lamp") == node_of(found, "glow") == "lamp"
    (lead,) = found.leads
    assert (lead.begins, lead.ends) == (node_of(found, "receiver"), "lamp")


def test_taps_come_first_and_the_pack_is_the_last_of_them():
    assert netlist(REGULATOR, cells=3).nodes[:3] == ("tap 1", "tap 2", "pack")
    assert netlist(REGULATOR, cells=1).nodes[0] == "pack"


def test_a_lead_that_ends_at_a_regulator_feeds_its_input():
    found = netlist(REGULATOR + '[wiring.leads.l]\nbegins = "pack"\nends = "main"\narea = 0.2\n')

    (lead,), (main,) = found.leads, found.regulators
    assert lead.ends == main.input == "main input"
    assert main.output != main.input


def test_regulators_in_a_row_are_not_in_parallel():
    """One feeds the other: their outputs do not meet."""
    second = '[regulators.small]\nkind = "linear"\nfed-by = "main"\n[wiring.loads.eye]\nfed-by = "small"\n'
    found = netlist(REGULATOR + '[wiring.leads.l]\nbegins = "main"\nends = "receiver"\narea = 0.2\n' + second)

    assert found.shared == ()
    assert found.unfed == ()


def test_regulators_that_meet_through_leads_are_told():
    both = REGULATOR + '[regulators.other]\nkind = "switching"\n'
    leads = "".join(
        f'[wiring.leads.{name}-lead]\nbegins = "{name}"\nends = "receiver"\narea = 0.2\n' for name in ("main", "other")
    )

    assert netlist(both + leads).shared == (("main", "other"),)


def test_a_name_that_is_none_is_told_with_the_nearest():
    found = netlist(REGULATOR + '[wiring.loads.eye]\nfed-by = "recever"\n')

    assert found.unknown == (("wiring.loads.eye", "recever", "receiver"),)
    assert "eye" in found.unfed


def test_a_light_string_hangs_where_the_device_that_lights_it_does():
    found = netlist(
        REGULATOR + RADIO + '[wiring.leads.l]\nbegins = "receiver"\nends = "lamp"\narea = 0.2\n'
        '[wiring.light-strings.bow]\nlit-by = "lamp"\nleds = 2\n'
    )  # fmt: skip

    (string,) = found.strings
    assert string.node == "lamp"


def test_no_regulator_leaves_the_receiver_unfed():
    assert "receiver" in netlist(RADIO).unfed
