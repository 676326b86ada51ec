"""The documentation's table of checks is what the checks say."""

from network.quality import document
from tests.services import ROOT


def test_the_table_of_checks_is_written_from_the_code() -> None:
    assert document.table().strip() in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"), "make tables"
