"""build.py: what a newcomer meets first."""

import ast
import json
import re
import subprocess
import sys
import tomllib
import venv
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from types import ModuleType

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[2]

PROJECT = """
[project]
name = "x"
[dependency-groups]
run = ["a==1"]
test = ["b==2"]
[tool.stampwright.icons]
"some-icons" = "1.0.0"
"""


@pytest.fixture
def build(tmp_path, monkeypatch) -> ModuleType:
    """build.py working on an invented project in a folder of its own, with an install that needs no network."""
    monkeypatch.syspath_prepend(ROOT)
    module = import_module("build")
    environments, icons, machine = (import_module(f"tooling.{room}") for room in ("environments", "icons", "machine"))
    monkeypatch.setattr(machine, "ROOT", tmp_path)
    monkeypatch.setattr(machine, "BUILD", tmp_path / ".build")
    monkeypatch.setattr(icons, "ICONS", tmp_path / ".build" / "icons")
    monkeypatch.setattr(environments, "MAIN", replace(environments.MAIN, folder=tmp_path / ".venv"))
    (tmp_path / "pyproject.toml").write_text(PROJECT)
    installed: list[str] = []
    monkeypatch.setattr(module, "installed", installed, raising=False)

    def make_venv(environment) -> None:
        installed.append("venv")
        venv.create(environment.folder, clear=True, with_pip=False, symlinks=True)

    def install(environment, pins: list[str]) -> None:
        installed.extend(pins)
        for pin in pins:
            lib = environment.folder / "lib" / "python3" / "site-packages" / f"{pin}.dist-info"
            lib.mkdir(parents=True)

    monkeypatch.setattr(environments, "_make_venv", make_venv)
    monkeypatch.setattr(environments, "_install", install)
    monkeypatch.setattr(environments, "_pip", lambda *arguments, **settings: None)
    return module


def test_without_a_command_it_prints_its_help():
    shown = subprocess.run([sys.executable, ROOT / "build.py"], capture_output=True, text=True, check=True).stdout
    assert all(command in shown for command in ("demo", "test", "bench", "check", "package"))


def test_an_unknown_command_gets_one_line_and_exit_2(build, capsys):
    assert build.main(["mend"]) == 2
    assert (
        capsys.readouterr().err
        == "build.py: there is no command 'mend'; there are: demo, test, bench, check, package\n"
    )


def test_a_missing_artwork_for_the_demo_is_told_before_anything_is_installed(build, capsys):
    assert build.main(["demo", "no-such-file.svg"]) == 2
    assert "no-such-file.svg: there is no such file" in capsys.readouterr().err
    assert build.installed == []


def test_its_grammar_lets_an_older_python_say_that_it_is_too_old():
    ast.parse((ROOT / "build.py").read_text(encoding="utf-8"), feature_version=(3, 6))


def test_a_second_run_installs_nothing(build):
    build.environments.prepare_environment("run")
    build.environments.prepare_environment("run")
    assert build.installed == ["venv", "a==1"]


def test_a_further_group_is_added_to_what_is_there(build):
    build.environments.prepare_environment("run")
    build.environments.prepare_environment("run", "test")
    assert build.installed == ["venv", "a==1", "b==2"]
    assert set(json.loads(build.environments.MAIN.ready.read_text())["groups"]) == {"run", "test"}


def test_changed_pins_make_the_environment_anew(build):
    build.environments.prepare_environment("run", "test")
    (build.machine.ROOT / "pyproject.toml").write_text(PROJECT.replace("a==1", "a==3"))
    build.environments.prepare_environment("run")
    assert build.installed[3:] == ["venv", "a==3"]


@pytest.mark.parametrize("damage", ["ready.json", "ready.json cut short", "package", "python"])
def test_a_damaged_environment_is_made_anew(build, damage):
    build.environments.prepare_environment("run")
    if damage == "ready.json":
        build.environments.MAIN.ready.unlink()
    elif damage == "ready.json cut short":
        build.environments.MAIN.ready.write_text(build.environments.MAIN.ready.read_text()[:40])
    elif damage == "package":
        next(build.environments.MAIN.folder.glob("lib/**/a==1.dist-info")).rmdir()
    else:
        build.environments.MAIN.python.unlink()
    build.environments.prepare_environment("run")
    assert build.installed == ["venv", "a==1"] * 2


def test_an_interrupted_install_is_not_taken_for_a_whole_one(build, monkeypatch):
    def interrupted(environment, pins: list[str]) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as broken:
        broken.setattr(build.environments, "_install", interrupted)
        with pytest.raises(KeyboardInterrupt):
            build.environments.prepare_environment("run")
    build.environments.prepare_environment("run")
    assert build.installed == ["venv", "venv", "a==1"]


# pip's own words, shortened, as pip 23.2 said them in each case.
NO_NAME = """WARNING: Retrying after connection broken by 'NewConnectionError('Failed to establish a new connection')'
ERROR: Could not find a version that satisfies the requirement numpy==2.4.6 (from versions: none)
ERROR: No matching distribution found for numpy==2.4.6"""
NO_WHEEL = """ERROR: Could not find a version that satisfies the requirement numpy==2.4.6 (from versions: 2.5.0, 2.5.1)
ERROR: No matching distribution found for numpy==2.4.6"""
FULL_DISK = "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device"


@pytest.mark.parametrize(
    ("said", "told"),
    [
        (NO_NAME, "the network does not answer"),
        (NO_WHEEL, r"no ready-built numpy 2\.4\.6 for Python .* run it with Python 3\.11, 3\.12, 3\.13 or 3\.14"),
        (FULL_DISK, "the disk is full"),
        ("ERROR: something else", r"its words are in .*pip\.log"),
    ],
)
def test_what_pip_could_not_do_is_told_in_one_line(build, said, told):
    message = str(build.environments._pip_error(said))
    assert re.search(told, message)
    assert "\n" not in message


def test_without_npm_it_says_what_to_install(build, monkeypatch):
    monkeypatch.setenv("PATH", "")
    with pytest.raises(build.SetupError, match=r"npm, which is not on this machine: install Node\.js"):
        build.icons.fetch_icons()


def test_icons_that_are_there_are_not_fetched_again(build, monkeypatch):
    folder = build.icons.ICONS / "node_modules" / "some-icons"
    folder.mkdir(parents=True)
    (folder / "package.json").write_text('{"version": "1.0.0"}')
    monkeypatch.setenv("PATH", "")
    build.icons.fetch_icons()


def test_every_dependency_is_pinned_to_a_version_that_the_package_accepts():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    pins = [
        Requirement(pin) for group in project["dependency-groups"].values() for pin in group if isinstance(pin, str)
    ]
    assert all(re.fullmatch(r"==[\w.]+", str(pin.specifier)) for pin in pins)
    pinned = {pin.name: str(pin.specifier).removeprefix("==") for pin in pins}
    for needed in map(Requirement, project["project"]["dependencies"]):
        assert needed.specifier.contains(pinned[needed.name]), needed.name


def made_by(monkeypatch, build, *arguments: str) -> list[list[str]]:
    """Return the programs that the demo starts."""
    started: list[list[str]] = []
    monkeypatch.setattr(build.machine, "run", lambda command, **_: started.append([str(part) for part in command]) or 0)
    assert build.main(["demo", *arguments]) == 0
    return started


def test_the_demo_without_blender_is_made_and_says_how_to_have_a_picture(build, monkeypatch, capsys):
    assert len(made_by(monkeypatch, build)) == 1
    assert "demo --picture" in capsys.readouterr().err
    assert "Making .venv-blender" not in capsys.readouterr().out


def test_the_demo_is_pictured_by_the_newest_blender_that_is_here(build, monkeypatch, capsys, tmp_path):
    for version in ("4.5", "5.2"):
        (tmp_path / f".venv-blender-{version}").mkdir()
        (tmp_path / f".venv-blender-{version}" / "ready.json").write_text("{}")
    _, picture = made_by(monkeypatch, build)
    assert ".venv-blender-5.2" in picture[0]
    assert picture[1].endswith("product_pictures.py")
    assert capsys.readouterr().err == ""


def test_hosts_but_the_newest_are_tried_when_asked_for(build, capsys):
    tried = build.suites.versions_to_try
    assert tried(["4.2", "4.5", "5.2"], ["-x"]) == ["5.2"]
    assert "Blender 4.2, 4.5: only with --all" in capsys.readouterr().out
    assert tried(["4.2", "4.5", "5.2"], ["--all"]) == ["4.2", "4.5", "5.2"]
    assert tried(["4.2", "4.5", "5.2"], [str(ROOT / "tests" / "blender")]) == ["4.2", "4.5", "5.2"]
    assert tried(["5.2"], []) == ["5.2"]
    assert "only with" not in capsys.readouterr().out


def test_suites_beside_each_other_are_told_whole_and_their_codes_kept(build, capfd):
    slow = "import time; print('first ', end='', flush=True); time.sleep(1); print('told whole')"
    fast = [sys.executable, "-c", "print('second told whole'); raise SystemExit(3)"]
    codes = build.suites.run_beside(
        [build.suites.Suite("One", [sys.executable, "-c", slow]), build.suites.Suite("Two", fast)]
    )
    said = capfd.readouterr().out
    assert sorted(codes) == [0, 3]
    assert build.suites.worst(codes) == 3
    assert "first told whole" in said
    assert "second told whole" in said
