"""The numbers behind the bench: each with meaning, unit and basis."""

import pytest

from casebank.instruments.teaching import BASES, NOTES, TEACHING, parsed


def test_every_number_says_what_it_means_and_where_it_comes_from():
    for name, note in NOTES.items():
        assert getattr(TEACHING, name) == note.value
        assert note.meaning.endswith("."), name
        assert note.unit, name
        assert note.basis in BASES, name


def _entries(**changed):
    table = {
        name: {
            "value": note.value,
            "unit": note.unit,
            "meaning": note.meaning,
            "basis": note.basis,
            "source": note.source,
        }
        for name, note in NOTES.items()
    }
    return {**table, **changed}


@pytest.mark.parametrize(
    ("table", "said"),
    [
        (
            _entries(spare_mm={"value": 1.0, "unit": "mm", "meaning": "x.", "basis": "derived"}),
            "does not use: spare_mm",
        ),
        ({name: entry for name, entry in _entries().items() if name != "bite_mm"}, "lacks bite_mm"),
        (
            _entries(bite_mm={"value": 1.0, "unit": "mm", "meaning": "x.", "basis": "guess"}),
            "bite_mm: a basis of 'guess'",
        ),
        (_entries(bite_mm={"value": 1.0, "unit": "mm", "meaning": "x.", "basis": "published"}), "needs its source"),
        (_entries(bite_mm={"value": 1.0}), "bite_mm"),
    ],
)
def test_a_broken_table_is_refused_by_name(table, said):
    with pytest.raises(ValueError, match=said):
        parsed(table)
