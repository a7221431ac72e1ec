"""Migrations: they agree with the models, form one line with names that say something, and never import live code."""

import ast
import re
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader

ROOT = Path(__file__).parent.parent
APPS = ("casebank", "assess")
FILES = [path for app in APPS for path in sorted((ROOT / app / "migrations").glob("[0-9]*.py"))]


def named(path):
    return f"{path.parent.parent.name} {path.stem}"


def imported_by(path):
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield "." * node.level + (node.module or "")


def test_there_are_migrations_to_judge():
    assert "casebank 0001_accounts" in map(named, FILES)


@pytest.mark.django_db
def test_models_and_migrations_agree():
    said = StringIO()
    try:
        call_command("makemigrations", "--check", "--dry-run", stdout=said, no_color=True)
    except SystemExit:
        pytest.fail(f"make the missing migration and give it a name:\n{said.getvalue()}")


@pytest.mark.parametrize("app", APPS)
def test_migrations_of_an_app_form_one_line(app):
    assert len(MigrationLoader(None, ignore_no_migrations=True).graph.leaf_nodes(app)) <= 1
    numbers = [int(path.name[:4]) for path in FILES if path.parent.parent.name == app]
    assert numbers == list(range(1, len(numbers) + 1))


@pytest.mark.parametrize("path", FILES, ids=named)
def test_a_migration_is_named_for_what_it_does(path):
    assert re.fullmatch(r"\d{4}_[a-z][a-z0-9_]+", path.stem)
    assert not re.search(r"_auto_|_initial$", path.stem)


@pytest.mark.parametrize("path", FILES, ids=named)
def test_a_migration_imports_no_live_code(path):
    live = [name for name in imported_by(path) if name.startswith(".") or name.partition(".")[0] in APPS]
    assert live == [], "live code changes later and would change what this migration did: copy what it needs"


@pytest.mark.django_db
def test_the_user_model_was_ours_from_the_first_migration():
    assert "casebank_user" in connection.introspection.table_names()
    assert "auth_user" not in connection.introspection.table_names()
