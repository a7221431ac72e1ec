"""A log from a file: refused in one sentence if it is no log of the case."""

from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict

from assess.log.events import AnyEvent
from assess.log.fold import OutOfTurn, State, fold
from casebank.casefile import FileRefused, parse_object, read_bytes, validate

LOG_VERSION = 1


class Log(BaseModel):
    """An attempt's events as a file holds them."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)

    log_version: Literal[1]
    case: str
    events: tuple[AnyEvent, ...]

    def state(self) -> State:
        return fold(self.events, case=self.case)


def read_log(path: Path, *, case: str) -> Log:
    """The log in a file. FileRefused names file, field and what to do."""
    content = read_bytes(path)
    record = parse_object(content, name=path.name)
    if record.get("log_version") != LOG_VERSION:
        raise FileRefused(
            f"{path.name}, log_version: {record.get('log_version')!r} is not the version this program reads "
            f"({LOG_VERSION}): export the log again with a matching program"
        )
    log = validate(Log, content, name=path.name)
    if log.case != case:
        raise FileRefused(
            f"{path.name}, case: this log is of {log.case}, the case file is {case}: take the log of this case"
        )
    try:
        log.state()
    except OutOfTurn as trouble:
        raise FileRefused(f"{path.name}, {trouble}") from trouble
    return log
