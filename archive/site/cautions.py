"""The cautions that stand on pages: what may hurt whoever handles a part."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Caution:
    """A hazard by its name, and what to do about it, in a sentence or two."""

    name: str
    says: str


CAUTIONS: Mapping[str, Caution] = MappingProxyType(
    {
        "asbestos": Caution(
            "Asbestos suspected",
            "Leave it alone: no cutting, sanding, brushing or blowing. Mark the object and its"
            " record; only a licensed contractor takes it off.",
        ),
        "cadmium": Caution(
            "Cadmium plating",
            "Don't grind, wire-brush, weld or heat it. Wear gloves and catch the dust.",
        ),
        "lead-paint": Caution(
            "Old paint: take it for lead",
            "No dry sanding. Have it tested first, and keep a sample of all its layers.",
        ),
        "magnesium": Caution(
            "Magnesium alloy",
            "Keep its dust and swarf apart and away from sparks. Never put water on a metal fire.",
        ),
        "nitrate-dope": Caution(
            "Nitrate dope",
            "It burns in seconds: no grinding sparks, heat gun, flame or smoking near it; earth the"
            " work.",
        ),
        "nitrate-film": Caution(
            "Nitrate film",
            "It burns by itself and its gas harms people and other film. Keep it cool, aired and"
            " apart, off the light box; a specialist copies it.",
        ),
        "original-covering": Caution(
            "Original covering",
            "It is evidence. Don't cut, strip or clean it before it is recorded, traced at full"
            " size and signed for; afterwards keep it in large pieces.",
        ),
        "radium": Caution(
            "Luminous paint: take it for radium",
            "Don't open, wipe or scrape it, dark or not. Bag it, label it, air the room and ask the"
            " radiation adviser.",
        ),
        "stored-energy": Caution(
            "Stored energy",
            "Cord, springs and loaded struts can let go. Secure them before you loosen anything.",
        ),
        "sharp-edges": Caution("Sharp edges", "Torn metal cuts. Wear gloves and cover the edge."),
        "mould": Caution(
            "Mould or droppings", "Don't brush or blow it. Wear a mask and gloves, and bag it."
        ),
    }
)
"""Hazard of a record → caution. The wording is ours; the facts are those of common practice."""
