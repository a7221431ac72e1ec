"""Whoever was given a password chooses one of their own, and stays signed in."""

import pytest
from django.urls import reverse

from tests.factories import PASSWORD, UserFactory

NEW = "seven quiet herons wade"


@pytest.fixture
def somebody(db, client):
    user = UserFactory(with_password=True)
    client.force_login(user)
    return user


def sent(client, old=PASSWORD, new=NEW, again=NEW):
    fields = {"old_password": old, "new_password1": new, "new_password2": again}
    return client.post(reverse("own-password"), fields)


def test_the_new_password_holds_and_the_session_goes_on(client, somebody):
    assert sent(client).url == reverse("home")
    somebody.refresh_from_db()
    assert somebody.check_password(NEW)
    assert "Your password is changed." in client.get(reverse("home")).content.decode()


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"old": "not it"}, "This is not your password now"),
        ({"again": "another one altogether"}, "The two new passwords differ"),
        ({"new": "short", "again": "short"}, "at least 12 characters"),
        ({"new": "473829104756", "again": "473829104756"}, "entirely numeric"),
    ],
)
def test_what_cannot_be_a_password_is_refused_in_words_and_nothing_changes(client, somebody, fields, sentence):
    page = sent(client, **fields)
    assert sentence in page.content.decode()
    somebody.refresh_from_db()
    assert somebody.check_password(PASSWORD)
