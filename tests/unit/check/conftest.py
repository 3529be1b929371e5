"""Fixtures of the rules' tests: a sound manifold, and ways to ask and to change it."""

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from bossed_cases import BOSSES
from check_cases import SHEET, described_case, found, with_sheet, with_values

from tractwright.check.case import Case
from tractwright.check.finding import Finding


@pytest.fixture(scope="session")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Case:
    """A sound manifold."""
    return described_case(tmp_path_factory.mktemp("sound"), SHEET)


@pytest.fixture(scope="session")
def judged() -> Callable[[Case, str], dict[str, Finding]]:
    """Asks one rule: judged(case, rule) -> findings by subject."""
    return found


@pytest.fixture(scope="session")
def verdict() -> Callable[[Case, str, str], str]:
    """Asks one rule about one subject: verdict(case, rule, subject)."""
    return lambda case, rule_id, subject: found(case, rule_id)[subject].verdict


@pytest.fixture(scope="session")
def having() -> Callable[[Case, Mapping[str, Any]], Case]:
    """Changes numbers of a description: having(case, {path: value})."""
    return with_values


@pytest.fixture(scope="session")
def saying() -> Callable[..., Case]:
    """Changes facts of a sheet: saying(case, table, key=value)."""
    return with_sheet


@pytest.fixture(scope="session")
def bossed(tmp_path_factory: pytest.TempPathFactory) -> Case:
    """The sound manifold with four bosses: two on straight runners, one on the wall, one on the cover."""
    return described_case(tmp_path_factory.mktemp("bossed"), SHEET + BOSSES)
