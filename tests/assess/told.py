"""What tests of orders and written reasons share: how a page sends them."""

ORDERS = {
    "full-day": ("danger-signs", "find-tooth", "supervisor", "drain", "ring", "tablets-away"),
    "step-order": ("count", "numb", "test-numb", "dam", "decay", "unroof"),
}
REASON = "Canal MB bends by 18° on film 1, more than I have shaped: I refer her this week."


def sent(task, items=None, **others):
    """An order as a page sends it: a place for each item."""
    items = ORDERS[task] if items is None else items
    return {"task": task, **{f"place-{item}": str(place) for place, item in enumerate(items, 1)}, **others}
