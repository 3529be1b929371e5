"""The shape of the code, checked by machine."""

import ast
import re
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from tractwright.cache import kernel_modules
from tractwright.check.stage import all_rules
from tractwright.sources import all_sources

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "tractwright"
MODULES = sorted(SOURCE.rglob("*.py"))


@pytest.mark.parametrize("path", MODULES, ids=lambda p: p.relative_to(SOURCE).as_posix())
def test_modules_are_short_and_functions_shorter(path: Path):
    text = path.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 300
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef) and not path.name.endswith("kernels.py"):
            body = node.end_lineno - node.body[0].lineno + 1
            assert body <= 60, f"{node.name}: {body} lines"


@pytest.mark.parametrize("path", kernel_modules(), ids=lambda p: p.relative_to(SOURCE).as_posix())
def test_kernel_modules_lean_only_on_kernel_modules(path: Path):
    """The folder of compiled kernels is named after these files alone; an edit elsewhere must not be able to matter."""
    names = {p.relative_to(SOURCE).with_suffix("").as_posix().replace("/", ".") for p in kernel_modules()}
    found = re.findall(r"from tractwright\.([\w.]+) import", path.read_text(encoding="utf-8"))
    assert set(found) <= names


def test_every_rule_names_a_known_source():
    for rule in all_rules():
        assert rule.source in all_sources(), rule.id


def test_every_source_has_text():
    raw = tomllib.loads(files("tractwright").joinpath("sources.toml").read_text(encoding="utf-8"))
    for key, row in raw.items():
        assert row["text"].strip(), key
        assert isinstance(row["verified"], bool), key


def test_the_lock_names_no_host():
    assert "://" not in (ROOT / "requirements.lock").read_text(encoding="utf-8")
