"""The smaller features of a tooth by kind and name, and the same anatomy without one of them.

Names: a stone or a lateral canal by its canal and number ("MB 1"), a chamber stone as "chamber 1"; a resorption by its
canal, or by its root for one from outside, and its number ("MB internal 1", "M external 1"), a resorbed end by its root
("M end").
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal, TypeVar

from casebank.anatomy import Anatomy, Canal, Course, Leg, Root, Station

DetailKind = Literal["stone", "resorption", "lateral canal"]
T = TypeVar("T")

TIP_SHARE = 0.5  # radius of a regrown tip over that of the blunt end: a teaching choice


def details_of(anatomy: Anatomy) -> tuple[tuple[DetailKind, str], ...]:
    """Kind and name of every stone, resorption and lateral canal of an anatomy."""
    return tuple(_details(anatomy))


def _details(anatomy: Anatomy) -> Iterator[tuple[DetailKind, str]]:
    tooth = anatomy.tooth
    for number in range(1, len(tooth.chamber.stones) + 1):
        yield "stone", f"chamber {number}"
    for canal in tooth.canals:
        for number in range(1, len(canal.stones) + 1):
            yield "stone", f"{canal.name} {number}"
        for number in range(1, len(canal.resorptions) + 1):
            yield "resorption", f"{canal.name} internal {number}"
        for number in range(1, len(canal.lateral_canals) + 1):
            yield "lateral canal", f"{canal.name} {number}"
    for root in tooth.roots:
        for number in range(1, len(root.resorptions) + 1):
            yield "resorption", f"{root.name} external {number}"
        if root.end == "resorbed":
            yield "resorption", f"{root.name} end"


def without_detail(anatomy: Anatomy, kind: str, name: str) -> Anatomy:
    """An anatomy as if one of its details had never been; as it is, if the detail is not there or a root's end."""
    if name.endswith(" end") or (kind, name) not in details_of(anatomy):
        return anatomy
    tooth = anatomy.tooth
    chamber = tooth.chamber
    if kind == "stone":
        chamber = replace(chamber, stones=_others(chamber.stones, "chamber", name))
    canals = tuple(_canal_without(canal, kind, name) for canal in tooth.canals)
    roots = tuple(_root_without(root, kind, name) for root in tooth.roots)
    return replace(anatomy, tooth=replace(tooth, chamber=chamber, canals=canals, roots=roots))


def regrown(root: Root, kind: str, name: str) -> Root:
    """A root with its resorbed end back: as long as it was, with a rounded tip; as it is, if another is named."""
    if root.end != "resorbed" or (kind, name) != ("resorption", f"{root.name} end"):
        return root
    last_mm = float(root.radii_mm(2)[1])
    tip_mm = TIP_SHARE * last_mm
    more_mm = max(root.lost_mm - tip_mm, 0.1)
    share = root.course.length_mm / (root.course.length_mm + more_mm)
    course: Course = replace(root.course, legs=(*root.course.legs, Leg(more_mm)))
    stations = [Station(share * one.share, one.radius_mm) for one in root.stations]
    return replace(root, course=course, stations=(*stations, Station(1.0, tip_mm)), end="rounded", lost_mm=0.0)


def _canal_without(canal: Canal, kind: str, name: str) -> Canal:
    match kind:
        case "stone":
            return replace(canal, stones=_others(canal.stones, canal.name, name))
        case "resorption":
            return replace(canal, resorptions=_others(canal.resorptions, f"{canal.name} internal", name))
        case "lateral canal":
            return replace(canal, lateral_canals=_others(canal.lateral_canals, canal.name, name))
        case _:
            return canal


def _root_without(root: Root, kind: str, name: str) -> Root:
    if kind != "resorption":
        return root
    return replace(root, resorptions=_others(root.resorptions, f"{root.name} external", name))


def _others(places: tuple[T, ...], owner: str, left_out: str) -> tuple[T, ...]:
    return tuple(place for number, place in enumerate(places, 1) if left_out != f"{owner} {number}")
