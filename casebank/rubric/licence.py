"""The licence to treat: what a school lets the students of one year plan at the most, by how hard a case is."""

from typing import Annotated, Literal, Self, get_args

from pydantic import BaseModel, ConfigDict, Field, model_validator

Limit = Literal["treat", "supervised", "refer"]
"""The most that may be planned, from the least to the most cautious."""
LIMITS: tuple[Limit, ...] = get_args(Limit)
YEARS = range(1, 8)
"""Years of study that a licence can be stated for; the longest courses in dentistry take six or seven."""


class Licence(BaseModel):
    """One year's licence. Caution never falls from low to high.

    >>> Licence(year=3, low="supervised", moderate="refer", high="refer").at(2, of=3)
    'refer'
    """

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)

    year: Annotated[int, Field(ge=YEARS.start, lt=YEARS.stop)]
    low: Limit
    moderate: Limit
    high: Limit

    @property
    def limits(self) -> tuple[Limit, Limit, Limit]:
        return self.low, self.moderate, self.high

    @model_validator(mode="after")
    def _never_falls(self) -> Self:
        if not never_falls(*self.limits):
            raise ValueError(
                f"in year {self.year} a harder case would be left to the student and an easier one not: let caution "
                "stay or rise from low to high"
            )
        return self

    def at(self, level: int, *, of: int) -> Limit:
        """The limit for a case of a level, 1 to `of`; where a set has two levels they are the lowest and the highest.

        ValueError if there is no such level.
        """
        if not 1 <= level <= of:
            raise ValueError(f"level {level} does not exist: give 1 to {of}")
        if level == of:
            return self.high
        return self.low if level == 1 else self.moderate


def never_falls(low: str, moderate: str, high: str) -> bool:
    """Whether caution stays or rises from low to high. ValueError if one of them is no limit.

    >>> never_falls("treat", "refer", "refer"), never_falls("refer", "treat", "refer")
    (True, False)
    """
    ranks = [LIMITS.index(one) for one in (low, moderate, high)]
    return ranks == sorted(ranks)


def more_cautious(option: str, limit: Limit) -> str:
    """The more cautious of a plan and a limit; a plan that is no limit stays, such as that no treatment is needed.

    >>> more_cautious("treat", "supervised"), more_cautious("refer", "supervised")
    ('supervised', 'refer')
    """
    return LIMITS[max(LIMITS.index(option), LIMITS.index(limit))] if option in LIMITS else option
