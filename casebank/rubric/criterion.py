"""One thing asked: its wording, its weight, how an answer is compared, why it matters, and worked examples."""

from dataclasses import dataclass
from typing import Literal, get_args

from casebank.rubric.answers import Reference, Said
from casebank.rubric.rules import Rule

Stage = Literal["look", "weigh", "open", "shape", "fill"]
Per = Literal["case", "canal", "factor"]
KeyType = Literal["anatomical fact", "panel judgement", "school rule"]
Axis = Literal["path", "decision", "judgement", "written"]

STAGES: tuple[str, ...] = get_args(Stage)
PERS: tuple[str, ...] = get_args(Per)
KEY_TYPES: tuple[str, ...] = get_args(KeyType)
AXES: tuple[str, ...] = get_args(Axis)
MAIN_AXIS: Axis = "path"


@dataclass(frozen=True)
class Reasons:
    """What feedback adds to the comparison's own sentence.

    Attributes
    ----------
    because : str
        Why this is asked.
    next_act : str
        One next act for whoever missed it.
    source : str
        Where the rule or the tolerance comes from; "common practice, no source" and "teaching choice" say so.
    """

    because: str
    next_act: str
    source: str


@dataclass(frozen=True)
class Example:
    """An answer, a reference and the credit worked out by hand, with the working."""

    said: Said
    reference: Reference
    credit: float
    working: str


@dataclass(frozen=True)
class Criterion:
    """One thing asked and how its answer is judged.

    Attributes
    ----------
    kind : str
        Name of the comparison in `casebank.rubric.kinds`.
    weight : int
        Share of its axis, in hundredths; a criterion per canal or per factor divides it among its instances.
    key_type : str
        Whether its reference is an anatomical fact, a panel's judgement or a school's rule.
    key_feature : bool
        Whether the case turns on it.
    per : str
        Asked once per case, per canal or per difficulty factor.
    competencies : tuple of str
        Ids, in the rubric's framework, of what it exercises; at least one.
    axis : str
        Which score it counts towards: the path of the treatment, the decision to treat or refer, judgement in a
        dilemma, or written reasons. Axes are never added up.
    key : reference or None
        The reference, where the rubric itself carries it for every case.
    """

    id: str
    stage: Stage
    kind: str
    label: str
    ask: str
    weight: int
    key_type: KeyType
    key_feature: bool
    per: Per
    competencies: tuple[str, ...]
    rule: Rule
    reasons: Reasons
    examples: tuple[Example, ...]
    axis: Axis = MAIN_AXIS
    key: Reference | None = None
