"""Addresses of attempts."""

from django.urls import include, path

from assess.views import acts, cases, closing, pictures, stages

urlpatterns = [
    path("home/", cases.home, name="home"),
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
                path("chart/<str:canal>.svg", pictures.canal_picture, name="canal-picture"),
            ]
        ),
    ),
]
