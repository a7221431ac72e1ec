"""A logged move in the words of the tray's fields, as a browser sends them."""

FIGURES = ("to_mm", "precurve_per_mm", "beyond_mm", "thickness_mm")
LIKE_THE_FORM = {"size": "{:d}", "taper": "{:.2f}", **dict.fromkeys(FIGURES, "{:g}")}


def as_sent(move):
    """A move of a log as the tray's fields have it."""
    sent = {name: LIKE_THE_FORM.get(name, "{}").format(value) for name, value in move.items() if name != "kind"}
    if move["kind"] == "engine_file":
        sent = {"file": f"{sent.pop('size')}/{sent.pop('taper')}", "brush": "", **sent}
    if move["kind"] == "irrigate":
        sent["ml"] = f"{move['ml']:g}"
    if move["kind"] == "fit_cone" and move.get("gauged", True):  # a box that is not ticked is not sent
        sent["gauged"] = "on"
    else:
        sent.pop("gauged", None)
    return sent
