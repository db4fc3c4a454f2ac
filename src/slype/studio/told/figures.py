"""Figures that are read, ready to show, and what may be chosen. Types only."""

from __future__ import annotations

from typing import TypedDict


class PartTold(TypedDict):
    """A part of a figure, why it is there and on whose word."""

    name: str
    value: str
    why: str
    source: str


class Number(TypedDict):
    """One figure, ready to show, with the parts it opens into."""

    name: str
    value: str
    parts: list[PartTold]
    note: str


class List(TypedDict):
    """A list of figures under a heading."""

    key: str
    title: str
    numbers: list[Number]
    note: str


class Choice(TypedDict):
    """One thing that may be chosen: its key in the file, its name in the design's wording, and what it is."""

    key: str
    name: str
    help: str
    group: str
