"""The numbers behind the bench: each with meaning, unit and basis."""

import pytest

from casebank.instruments.teaching import BASES, NOTES, TEACHING, parsed


def test_every_number_says_what_it_means_and_where_it_comes_from():
    for name, note in NOTES.items():
        assert getattr(TEACHING, name) == note.value
        assert note.meaning.endswith("."), name
        assert note.unit, name
        assert note.basis in BASES, name


PLAIN = {"value": 1.0, "unit": "mm", "meaning": "x.", "basis": "derived", "least": 0.0, "most": 2.0, "pinned_by": "x"}


def _entries(**changed):
    table = {
        name: {
            "value": note.value,
            "unit": note.unit,
            "meaning": note.meaning,
            "basis": note.basis,
            "source": note.source,
            "least": note.least,
            "most": note.most,
            "pinned_by": note.pinned_by,
        }
        for name, note in NOTES.items()
    }
    return {**table, **changed}


@pytest.mark.parametrize(
    ("table", "said"),
    [
        (
            _entries(spare_mm=PLAIN),
            "does not use: spare_mm",
        ),
        ({name: entry for name, entry in _entries().items() if name != "bite_mm"}, "lacks bite_mm"),
        (_entries(bite_mm={**PLAIN, "basis": "guess"}), "bite_mm: a basis of 'guess'"),
        (_entries(bite_mm={**PLAIN, "basis": "published"}), "needs its source"),
        (_entries(bite_mm={**PLAIN, "value": 3.0}), "bite_mm: 3 lies outside its range, 0 to 2"),
        (_entries(bite_mm={**PLAIN, "pinned_by": ""}), "bite_mm: a range needs both ends and the test that pins it"),
        (_entries(bite_mm={**PLAIN, "least": None, "most": None, "pinned_by": ""}), "bite_mm has no range"),
        (_entries(bite_mm={"value": 1.0}), "bite_mm"),
    ],
)
def test_a_broken_table_is_refused_by_name(table, said):
    with pytest.raises(ValueError, match=said):
        parsed(table)
