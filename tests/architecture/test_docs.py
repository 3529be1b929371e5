"""Docs that name parts of the tree name parts that are there, and leave none out."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
SOURCE = ROOT / "src" / "tractwright"
CODE = "\n".join(path.read_text(encoding="utf-8") for path in SOURCE.rglob("*.py"))


def quoted(path: Path) -> list[str]:
    return re.findall(r"`([^`\n]+)`", path.read_text(encoding="utf-8"))


def test_every_verification_is_listed_and_no_other():
    """A source without a line on the page is not told of; a line without a test is a claim."""
    listed = set(re.findall(r"`(test_\w+\.py)`", (DOCS / "verification.md").read_text(encoding="utf-8")))
    there = {path.name for path in (ROOT / "tests").rglob("test_*.py")}
    assert {path.name for path in (ROOT / "tests" / "verification").glob("test_*.py")} <= listed
    assert listed <= there


def test_every_part_of_the_package_is_on_the_map():
    named = quoted(DOCS / "map.md")
    for path in SOURCE.iterdir():
        if path.is_dir() and any(path.glob("*.py")):
            assert any(name.startswith(f"{path.name}/") for name in named), path.name
        elif path.suffix == ".py" and not path.name.startswith("__"):
            assert any(path.stem in name for name in named), path.name


@pytest.mark.parametrize(
    "page", [*sorted(DOCS.glob("*.md")), *sorted(DOCS.glob("decisions/*.md"))], ids=lambda p: p.name
)
def test_paths_on_a_page_are_there(page: Path):
    for name in quoted(page):
        if re.fullmatch(r"[\w./-]*(/|\.(py|md|toml|lock))", name) and "/" in name and "NAME" not in name:
            made = name.startswith(("packet/design", "packet/summary", "packet/timing"))
            assert made or any((base / name).exists() for base in (ROOT, SOURCE, DOCS, ROOT / "tests")), name


def test_glossary_words_are_words_of_the_code():
    for name in quoted(DOCS / "glossary.md"):
        assert "/" in name or re.search(rf"\b{name}\b", CODE), name


def test_decisions_are_all_listed():
    listed = set(re.findall(r"\(([\w-]+\.md)\)", (DOCS / "decisions" / "README.md").read_text(encoding="utf-8")))
    assert listed == {path.name for path in (DOCS / "decisions").glob("*.md")} - {"README.md"}
