"""Who is to sit in which cohort: read from a sheet, and planned against who sits there now. Knows no database."""

from casebank.rosters.planning import Leaving, Plan, plan
from casebank.rosters.reading import Entry, Role, Roster, RosterRefused, read_roster

__all__ = ["Entry", "Leaving", "Plan", "Role", "Roster", "RosterRefused", "plan", "read_roster"]
