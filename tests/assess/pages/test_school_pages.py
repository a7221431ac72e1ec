"""What holds for every page of a school: one heading, a skip link, nothing inline and no identifier twice."""

import re

from django.urls import reverse

from assess.models import Mode
from casebank.models import Role
from tests.assess.pages.school import counted, set_for, unsafe
from tests.factories import CohortFactory, seated


def test_every_page_has_one_heading_a_skip_link_and_nothing_inline(directing, cohort):
    seated(cohort, Role.STUDENT)
    seated(cohort, Role.INSTRUCTOR)
    graded, practice = set_for(cohort), set_for(cohort, mode=Mode.PRACTICE)
    counted(graded, agree=6)
    unsafe(graded, "forced", 2)
    counted(set_for(CohortFactory(slug="landing-x")), agree=3)
    programme, students = cohort.programme.slug, cohort.seats.filter(membership__role=Role.STUDENT)
    seat = students.get().membership_id
    pages = [directing.get(reverse(name)) for name in ("cohorts", "competencies")]
    pages += [directing.get(reverse(name, args=[cohort.pk])) for name in ("cohort", "set-assignment")]
    pages += [directing.get(reverse("assignment-table", args=[one.assignment.public_id])) for one in (graded, practice)]
    pages += [directing.get(reverse("programme-table", args=[programme, mode])) for mode in Mode.values]
    pages += [directing.post(reverse("roster", args=[programme]), {"text": "account,cohort\nstudent01,landing-4\n"})]
    pages += [directing.post(reverse("roster", args=[programme]), {})]
    pages += [directing.post(reverse("set-assignment", args=[cohort.pk]), {}), directing.post(reverse("cohorts"), {})]
    pages += [directing.post(reverse("renew-password", args=[seat]))]
    for page in pages:
        content = page.content.decode()
        assert len(re.findall("<h1[ >]", content)) == 1
        assert 'class="skip" href="#main"' in content
        assert not re.search(r"<style|\sstyle=|\son\w+=|<script(?![^>]*\bsrc=)", content)
        identifiers = re.findall(r'\sid="([^"]+)"', content)
        assert len(identifiers) == len(set(identifiers))
        described = " ".join(re.findall(r'aria-(?:describedby|labelledby)="([^"]+)"', content)).split()
        assert set(described) <= set(identifiers)
