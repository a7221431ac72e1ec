"""DEVELOPERS.md and README.md name paths that exist, and start as they must."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


def paths_in(document):
    """What looks like a path of this project in code marks: it has a slash or ends like a file."""
    words = re.findall(r"`([^`\s]+)`", (ROOT / document).read_text())
    return sorted({word for word in words if re.fullmatch(r"\.?[\w*.-]+(/[\w*.-]*)+|\w+\.(py|md|toml)", word)})


@pytest.mark.parametrize("document", ["DEVELOPERS.md", "README.md"])
def test_every_path_it_names_exists(document):
    assert paths_in(document), "the document names paths at all"
    assert [path for path in paths_in(document) if not list(ROOT.glob(path.rstrip("/")))] == []


def test_developers_begin_with_where_a_change_goes():
    headings = re.findall(r"^#+ (.+)$", (ROOT / "DEVELOPERS.md").read_text(), re.MULTILINE)
    assert headings[1] == "Where does my change go?"


def test_the_readme_states_the_job_first():
    paragraphs = (ROOT / "README.md").read_text().split("\n\n")
    assert paragraphs[0].startswith("# ")
    assert "case-bank with self-assessment for endodontics" in paragraphs[1]
