"""What every part of a case document has in common."""

from pydantic import BaseModel, ConfigDict


class Part(BaseModel):
    """Base of every part of a case document: unknown keys are errors, values cannot change, types are not guessed."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, use_attribute_docstrings=True)
