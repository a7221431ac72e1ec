"""A real browser against a real server. One browser for the run; for each test an empty bank and contexts of its own.

Whatever a page writes to the console, breaks, or is refused by the content security policy fails the test.
"""

import os
from pathlib import Path

import pytest
from django.conf import settings
from django.db import connections
from django.test import Client
from django.utils import timezone
from playwright.sync_api import sync_playwright

from assess.presenting.films import RECEPTOR
from casebank.actions import publish_edition
from casebank.films import film_png
from casebank.models import Role
from casebank.radiograph import View
from tests.append_only import empty_the_store
from tests.browser.watch import Watch
from tests.factories import LEANING_ABUTMENT, leaning_abutment, member

os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # the browser's event loop runs in the thread that asks the database

CHROMIUM = Path("/usr/bin/chromium")
ARGUMENTS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
LONGEST_WAIT_MS = 10_000


@pytest.fixture(scope="session")
def browser():
    if not CHROMIUM.exists():
        pytest.fail(f"{CHROMIUM} is missing: apt-get install chromium fonts-dejavu-core")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def django_db_modify_db_settings(tmp_path_factory):
    """SQLite in a file: the server's threads have connections of their own, as a real server's have."""
    default = connections["default"]
    if default.vendor == "sqlite":
        default.settings_dict["TEST"]["NAME"] = str(tmp_path_factory.mktemp("bank") / "bank.sqlite3")


@pytest.fixture(scope="session", autouse=True)
def films(tmp_path_factory):
    """The films of this run, in a folder of its own; the two that every test sees are rendered here, once."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(settings, "DATA_DIR", tmp_path_factory.mktemp("data"))
        for view in (View(), View(horizontal_deg=20)):
            film_png(leaning_abutment()[1].anatomy, view, RECEPTOR)
        yield


@pytest.fixture
def case(transactional_db):
    """The molar, published. What a test has stored is removed again."""
    yield publish_edition(content=LEANING_ABUTMENT.read_bytes(), by=None, now=timezone.now()).case
    empty_the_store()


@pytest.fixture
def student(case):
    return member(Role.STUDENT, username="student01", with_password=True)


@pytest.fixture
def watch():
    return Watch()


@pytest.fixture
def new_page(browser, live_server, case, watch):
    """A page in a context of its own, as another device would be; signed in if an account is given."""
    contexts = []

    def new_page(account=None, **options):
        context = browser.new_context(base_url=live_server.url, **options)
        contexts.append(context)
        context.set_default_timeout(LONGEST_WAIT_MS)
        watch.listen(context)
        if account:
            client = Client()
            client.force_login(account)
            cookie = {"name": settings.SESSION_COOKIE_NAME, "value": client.session.session_key}
            context.add_cookies([cookie | {"url": live_server.url}])
        return context.new_page()

    yield new_page
    for context in contexts:
        context.close()
    assert watch.heard == []
