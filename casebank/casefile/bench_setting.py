"""What a case brings to the bench beside its tooth: metal, canals that are not worked, a pulp that bleeds."""

from casebank.casefile.document import Document
from casebank.instruments import Setting, setting_of

# alive, so it bleeds when it is opened: common practice, no source
INFLAMED = ("symptomatic irreversible pulpitis", "asymptomatic irreversible pulpitis")


def bench_setting(document: Document) -> Setting:
    """The setting of a case's bench, for `Bench.of` and `replay`."""
    return setting_of(document.anatomy, inflamed=document.diagnosis.pulpal in INFLAMED)
