"""What a command loads, and which way imports point."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "src" / "coachwork"
MODULES = sorted(PACKAGE.rglob("*.py"))
# Seconds each, gigabytes some; loaded in the function that needs them or not at all. None of it answers a question.
HEAVY = (
    "matplotlib", "build123d", "OCP", "netgen", "ngsolve", "trimesh", "ortools", "networkx", "numba", "nicegui",
    "mujoco", "typst", "ezdxf", "pandas", "starlette", "uvicorn",
)  # fmt: skip


@pytest.mark.parametrize("command", [["check"], ["check", "--json"], ["check", "--all", "--question", "linkage"]])
@pytest.mark.parametrize("build", ["as-found", "as-finished"])
def test_check_loads_nothing_heavy(examples: Path, build: str, command: list[str]):
    script = (
        "import sys; from coachwork.cli import main; status = main(sys.argv[1:]);"
        f"print(*sorted({{name.partition('.')[0] for name in sys.modules}} & set({HEAVY})), file=sys.stderr);"
        "raise SystemExit(status)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, command[0], str(examples / build), *command[1:]],
        capture_output=True, text=True, encoding="utf-8", timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode in (0, 1), done.stderr
    assert done.stderr.strip() == ""
    assert done.stdout


def test_the_check_above_can_fail():
    """The same listing does see a heavy library that is there."""
    script = "import sys, matplotlib; print('matplotlib' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout == "True\n"


def test_help_loads_no_number_cruncher():
    script = (
        "import sys; from coachwork.cli import main\ntry: main(['--version'])\nfinally: print('scipy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "False"


def test_imports_point_up_the_list_of_layers_only():
    done = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-cache"],
        cwd=PACKAGE.parents[1], capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout
    assert "KEPT" in done.stdout


@pytest.mark.parametrize("module", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_every_module_says_what_it_is_for(module: Path):
    assert ast.get_docstring(ast.parse(module.read_text("utf-8")))


def test_only_the_command_line_prints():
    for module in MODULES:
        calls = [node for node in ast.walk(ast.parse(module.read_text("utf-8"))) if isinstance(node, ast.Call)]
        prints = [c.lineno for c in calls if isinstance(c.func, ast.Name) and c.func.id == "print"]
        assert not prints or module.parent.name == "cli", f"{module}: {prints}"
