"""Addresses of attempts."""

from django.urls import include, path

from assess.views import (
    acts,
    assigned,
    assigning,
    cases,
    charts,
    closing,
    cohorts,
    competencies,
    home,
    keys,
    pictures,
    preview,
    rosters,
    stages,
    tables,
    tutoring,
)

urlpatterns = [
    path("home/", home.home, name="home"),
    path("cases/", cases.cases, name="cases"),
    path("cases/<slug:slug>/", cases.case, name="case"),
    path(
        "attempts/<uuid:public_id>/",
        include(
            [
                path("look/", stages.look, name="look"),
                path("weigh/", stages.weigh, name="weigh"),
                path("open/", stages.open_tooth, name="open"),
                path("shape/", stages.shape, name="shape"),
                path("fill/", stages.fill, name="fill"),
                path("compare/", stages.compare, name="compare"),
                path("ask/", acts.ask, name="ask"),
                path("film/", acts.film, name="film"),
                path("answer/", acts.answer, name="answer"),
                path("level/", acts.level, name="level"),
                path("move/", acts.move, name="move"),
                path("commit/<slug:stage>/", closing.commit, name="commit"),
                path("self-grade/", closing.self_grade, name="self-grade"),
                path("films/<int:number>.png", pictures.film_picture, name="film-picture"),
                path("films/<int:number>/words/", pictures.film_in_words, name="film-words"),
                path("chart/<str:canal>/", charts.canal_chart_page, name="canal-chart"),
                path("left/<int:number>.png", pictures.left_picture, name="left-picture"),
            ]
        ),
    ),
    path("assignments/<uuid:public_id>/cases/<slug:slug>/", assigned.assigned_case, name="assigned-case"),
    path("bank/cases/<slug:slug>/key/", keys.case_key, name="case-key"),
    path("bank/drafts/<uuid:public_id>/key/", keys.draft_key, name="draft-key"),
    path("bank/drafts/<uuid:public_id>/preview/<slug:stage>/", preview.preview, name="preview"),
    path("bank/drafts/<uuid:public_id>/films/<int:number>.png", preview.preview_film, name="preview-film"),
    path("cohorts/<int:pk>/attempts/", tutoring.cohort_attempts, name="cohort-attempts"),
    path("cohorts/", cohorts.cohorts, name="cohorts"),
    path("cohorts/<int:pk>/", cohorts.cohort, name="cohort"),
    path("cohorts/<int:pk>/assignments/new/", assigning.set_assignment, name="set-assignment"),
    path("memberships/<int:pk>/password/", cohorts.renew_password, name="renew-password"),
    path("assignments/<uuid:public_id>/withdraw/", assigning.withdraw_assignment, name="withdraw-assignment"),
    path("assignments/<uuid:public_id>/table/", tables.assignment_table, name="assignment-table"),
    path("assignments/<uuid:public_id>/table.csv", tables.assignment_table_csv, name="assignment-table-csv"),
    path("programmes/<slug:slug>/roster/", rosters.roster, name="roster"),
    path("programmes/<slug:slug>/table/<slug:mode>/", tables.programme_table, name="programme-table"),
    path("programmes/<slug:slug>/table/<slug:mode>.csv", tables.programme_table_csv, name="programme-table-csv"),
    path("competencies/", competencies.competencies, name="competencies"),
]
