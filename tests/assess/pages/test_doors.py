"""Who may see an attempt, a case and the site."""

import pytest
from django.urls import reverse

from assess.models import Attempt
from tests.assess.pages.reading import ACTS, get_all, words_of
from tests.factories import PASSWORD, EditionFactory, UserFactory


@pytest.mark.parametrize("who", ["fellow", "instructor", "outsider"])
def test_an_attempt_of_another_is_not_found(client, request, attempt, who):
    client.force_login(request.getfixturevalue(who))
    answers = [response.status_code for _name, response in get_all(client, attempt)]
    answers += [client.post(reverse(act, args=[attempt.public_id])).status_code for act in ACTS]
    answers += [client.post(reverse("commit", args=[attempt.public_id, "look"])).status_code]
    assert set(answers) == {404}
    assert attempt.events.count() == 0


@pytest.mark.django_db
def test_whoever_has_not_signed_in_is_sent_to_sign_in(client, attempt):
    for _name, response in get_all(client, attempt):
        assert response.status_code == 302
        assert response.url.startswith(reverse("sign-in"))
    assert {client.get(reverse(name)).status_code for name in ("home", "cases")} == {302}


def test_an_outsider_sees_no_case(client, outsider):
    EditionFactory()
    client.force_login(outsider)
    assert "no case for you yet" in words_of(client.get(reverse("cases")))
    assert client.get(reverse("case", args=["leaning-abutment"])).status_code == 404


def test_an_instructor_sees_the_case_and_cannot_start_it(client, instructor):
    EditionFactory()
    client.force_login(instructor)
    page = client.get(reverse("case", args=["leaning-abutment"]))
    assert page.status_code == 200
    assert "Start this case" not in words_of(page)
    refused = client.post(reverse("case", args=["leaning-abutment"]))
    assert refused.status_code == 403
    assert "Only a student can start this case" in words_of(refused)
    assert not Attempt.objects.exists()


def test_a_start_leads_to_the_first_stage_and_a_second_to_the_same_attempt(reader):
    EditionFactory()
    first, second = (reader.post(reverse("case", args=["leaning-abutment"])) for _ in range(2))
    assert first.url == second.url == reverse("look", args=[Attempt.objects.get().public_id])


@pytest.mark.django_db
def test_sign_in_goes_home_and_sign_out_comes_back(client):
    user = UserFactory(with_password=True)
    wrong = client.post(reverse("sign-in"), {"username": user.username, "password": "not it"})
    assert "No account has this name and this password" in words_of(wrong)
    assert client.post(reverse("sign-in"), {"username": user.username, "password": PASSWORD}).url == reverse("home")
    assert client.get(reverse("landing")).url == reverse("home")
    assert client.post(reverse("sign-out")).url == reverse("landing")
    assert "For teaching only" in words_of(client.get(reverse("landing")))
