"""Who may import whom: the contracts hold, each can catch what it forbids, and the pure rooms live without Django."""

import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
CONTRACTS = {
    contract["name"]: contract
    for contract in tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
}
PURE = CONTRACTS["pure rooms never import Django"]["source_modules"]
DJANGO_ROLES = {"actions", "forms", "management", "migrations", "models", "presenting", "templatetags", "views", "lti"}
PLANTED = [  # contract, the file that breaks it, and the import that does
    ("casebank: rooms look down only", "casebank/anatomy/tooth.py", "import casebank.radiograph"),
    ("casebank: rooms look down only", "casebank/radiograph/film.py", "import casebank.instruments"),
    ("casebank: rooms look down only", "casebank/models/people.py", "import casebank.settings"),
    ("assess: rooms look down only", "assess/log/fold.py", "import assess.grading"),
    ("casebank never imports assess", "casebank/rubric/kinds.py", "import assess.log"),
    ("pure rooms never import Django", "casebank/instruments/bench.py", "import django.utils.timezone"),
    ("pure rooms never import Django", "assess/grading/grade.py", "import casebank.models"),
]


def lint(folder):
    program = Path(sys.executable).with_name("lint-imports")
    return subprocess.run(
        [program, "--no-cache"],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(folder)},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture
def copy(tmp_path):
    for part in ("casebank", "assess"):
        shutil.copytree(
            ROOT / part, tmp_path / part, ignore=shutil.ignore_patterns("__pycache__", "static", "templates")
        )
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def test_every_contract_holds():
    outcome = lint(ROOT)
    assert outcome.returncode == 0, outcome.stdout


def test_every_contract_has_a_planted_breach():
    assert set(CONTRACTS) == {contract for contract, _, _ in PLANTED}


@pytest.mark.parametrize(("contract", "name", "statement"), PLANTED)
def test_a_contract_catches_its_breach(copy, contract, name, statement):
    path = copy / name
    path.write_text(f"{path.read_text()}\n{statement}\n")
    outcome = lint(copy)
    assert outcome.returncode == 1
    assert re.search(rf"^{re.escape(contract)} BROKEN$", outcome.stdout, re.MULTILINE), outcome.stdout


@pytest.mark.parametrize("package", ["casebank", "assess"])
def test_a_room_that_no_layer_names_is_caught(copy, package):
    (copy / package / "attic.py").write_text('"""A room nobody planned."""\n')
    outcome = lint(copy)
    assert outcome.returncode == 1
    assert f"- {package}.attic" in outcome.stdout


def test_every_package_named_after_a_subject_is_held_to_be_pure():
    packages = {f"{path.parent.parent.name}.{path.parent.name}" for path in ROOT.glob("[ac]*/*/__init__.py")}
    assert {name for name in packages if name.partition(".")[2] not in DJANGO_ROLES} == set(PURE)


def with_django_blocked(statement):
    program = (
        "import sys\n"
        "class Block:\n"
        "    def find_spec(self, name, path=None, target=None):\n"
        "        if name.partition('.')[0] == 'django':\n"
        "            raise ImportError('django is blocked here')\n"
        "sys.meta_path.insert(0, Block())\n"
        f"{statement}\n"
    )
    return subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False)


def test_pure_rooms_can_be_imported_with_django_blocked():
    outcome = with_django_blocked(f"import {', '.join(PURE)}")
    assert outcome.returncode == 0, outcome.stderr


def test_the_block_catches_a_module_that_needs_django():
    outcome = with_django_blocked("import casebank.models")
    assert "django is blocked here" in outcome.stderr
