"""Words of the trade that mean the same thing: looking for one finds the others too."""

from __future__ import annotations

SYNONYMS: tuple[tuple[str, ...], ...] = (
    ("gear", "undercarriage", "chassis", "landing gear"),
    ("prop", "propeller", "airscrew"),
    ("stab", "stabiliser", "stabilizer", "tailplane"),
    ("fin", "vertical fin"),
    ("rudder post", "stern post", "sternpost"),
    ("cowl", "cowling"),
    ("tire", "tyre"),
    ("gas", "petrol", "gasoline"),
    ("plane", "aeroplane", "airplane", "ship", "machine"),
    ("left", "port"),
    ("right", "starboard"),
    ("centre", "center"),
    ("wheel pants", "spats", "wheel fairings"),
    ("fabric", "covering", "cloth"),
    ("rib lacing", "rib stitching"),
    ("registration", "registration letters", "license number", "licence number", "letters"),
    ("aerofoil", "airfoil"),
    ("aluminium", "aluminum"),
    ("float", "pontoon"),
    ("turtledeck", "turtleback"),
    ("bungee", "shock cord"),
    ("windscreen", "windshield"),
    ("gauge", "gage"),
    ("mould", "mold"),
    ("grey", "gray"),
    ("colour", "color"),
    ("louvre", "louver"),
    ("drawing", "plan", "blueprint"),
)
"""Groups of terms with one meaning (common practice, no source; "ship" as letters of the 1930s
use it). A plural needs no entry of its own, since words are compared by their stems."""
