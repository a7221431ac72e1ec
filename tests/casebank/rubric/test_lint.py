"""Twenty flawed tasks, of which at least eighteen must be found, and twenty clean ones, with at most two alarms."""

from casebank.rubric.lint import flaws

FLAWED = [
    ("negative question", "Which of these is not a sign of necrosis?", ["Silence to cold", "A brief answer"]),
    ("negative question", "All hold except one: which?", ["Tug-back", "A void"]),
    ("negative question", "Which statement is false?", ["Files bend", "Files stretch"]),
    ("hinged question", "Given your previous answer, which file follows?", ["15/.02", "25/.02"]),
    ("hinged question", "Since you answered 'refer', to whom?", ["Specialist", "Surgeon"]),
    ("catch-all option", "What goes in?", ["Hypochlorite", "Saline", "All of the above"]),
    ("catch-all option", "What goes in?", ["Hypochlorite", "Saline", "None of these options"]),
    ("catch-all option", "What goes in?", ["Hypochlorite", "Saline", "Both of the above"]),
    ("absolute term", "When is a film taken?", ["Always before opening", "At length"]),
    ("absolute term", "What does a silent test mean?", ["The pulp is completely dead", "A control is due"]),
    ("absolute term", "What about size 10?", ["It never bends", "It finds the way"]),
    ("vague frequency", "When do roots fuse?", ["Often in second molars", "In one in ten"]),
    ("vague frequency", "When do roots fuse?", ["Sometimes", "In one in ten"]),
    ("vague frequency", "Who refers?", ["Those who usually doubt", "Those past their limit"]),
    ("longest is best", "Which axis?", ["The roots, at the angle that the first film shows", "The crown"]),
    ("longest is best", "Which test?", ["Cold, on this tooth and on two control teeth beside it", "Heat on the tooth"]),
    ("echoed word", "What makes patency last?", ["A patency file", "A larger shape"]),
    ("overlapping options", "How long?", ["17 to 20 mm", "19 to 22 mm"]),
    ("overlapping options", "How long?", ["Twenty", "twenty "]),
    ("unordered numbers", "How many canals?", ["3", "1", "2"]),
]
CLEAN = [
    ("Which pulpal term fits?", ["Pulp necrosis", "Reversible pulpitis"]),
    ("Which line does the drill follow?", ["The roots", "The crown"]),
    ("How many canals?", ["1", "2", "3"]),
    ("How many canals?", ["3", "2", "1"]),
    ("How long is it?", ["17 to 19 mm", "19 to 21 mm", "21 to 23 mm"]),
    ("When does the dam go on?", ["Before opening", "Before the first file"]),
    ("Which file comes first?", ["10/.02 by hand", "25/.04 by engine"]),
    ("What do you plan?", ["Refer", "Treat with a supervisor at the chair"]),
    ("What rinses last?", ["EDTA, then hypochlorite", "Saline until it runs clear"]),
    ("When is the review?", ["After one year", "After six weeks"]),
    ("Which further film?", ["None is needed now", "Tube moved 20 degrees mesially"]),
    ("What does cold show here?", ["That the nerve answers", "That blood flows"]),
    ("Which finding carries most weight?", ["Cold on the neighbour", "Colour of the crown"]),
    ("What is closed first?", ["The orifices", "The opening in the crown"]),
    ("Who consents for a ten-year-old?", ["The mother", "The aunt who came along"]),
    ("Where does the needle end?", ["2 mm above where it binds", "At the working length"]),
    ("What ends the gauge?", ["The next larger file stops short", "The first file reaches the end"]),
    ("Which tooth is the control?", ["The neighbour behind it", "The same tooth again"]),
    ("What widens the neck?", ["A short flare", "A long file turned at the end"]),
    ("What is noted first?", ["The cusp it was read from", "The name of the file"]),
]


def named(ask, options):
    # the first option is the keyed one
    found = flaws(ask, dict(zip("abc", options, strict=False)), frozenset("a"))
    assert all(flaw.words for flaw in found)
    return [flaw.name for flaw in found]


def test_at_least_eighteen_of_twenty_seeded_flaws_are_found_by_name():
    assert len(FLAWED) == 20
    missed = [ask for name, ask, options in FLAWED if name not in named(ask, options)]
    assert len(missed) <= 2, missed


def test_at_most_two_of_twenty_clean_tasks_raise_an_alarm():
    assert len(CLEAN) == 20
    alarms = [(ask, found) for ask, options in CLEAN if (found := named(ask, options))]
    assert len(alarms) <= 2, alarms


def test_a_long_option_that_is_not_keyed_is_no_flaw():
    assert named("Which axis?", ["The roots", "The crown, as it stands in the mouth today"]) == []
