"""System codes and zone numbers: where a part belongs, in numbers that the trade already uses.

The system codes are those of the FAA's Joint Aircraft System/Component Code Table (27 October
2008): all 51 of its two-digit headings, and of its four-digit codes a stated subset, those that an
aircraft of the period with fabric, struts, floats and one piston engine can need. A four-digit
code outside the subset is not known here. Names are the table's, shortened and in plain case. The
table has no code for interplane struts, bracing wires or fabric: teams take the nearest and say so.

The zone numbers are those of ATA-100.
"""

from __future__ import annotations

import re

from archive.core.problems import Unreadable

HEADINGS = {
    "11": "Placards and markings",
    "12": "Servicing",
    "14": "Hardware",
    "18": "Helicopter vibration",
    "21": "Air conditioning",
    "22": "Auto flight",
    "23": "Communications",
    "24": "Electrical power",
    "25": "Equipment and furnishings",
    "26": "Fire protection",
    "27": "Flight controls",
    "28": "Fuel",
    "29": "Hydraulic power",
    "30": "Ice and rain protection",
    "31": "Instruments",
    "32": "Landing gear",
    "33": "Lights",
    "34": "Navigation",
    "35": "Oxygen",
    "36": "Pneumatic",
    "37": "Vacuum",
    "38": "Water and waste",
    "45": "Central maintenance system",
    "49": "Airborne auxiliary power",
    "51": "Standard practices, structures",
    "52": "Doors",
    "53": "Fuselage",
    "54": "Nacelles and pylons",
    "55": "Stabilizers",
    "56": "Windows",
    "57": "Wings",
    "61": "Propellers",
    "62": "Main rotor",
    "63": "Main rotor drive",
    "64": "Tail rotor",
    "65": "Tail rotor drive",
    "67": "Rotors flight control",
    "71": "Powerplant",
    "72": "Turbine engine",
    "73": "Engine fuel and control",
    "74": "Ignition",
    "75": "Air",
    "76": "Engine controls",
    "77": "Engine indicating",
    "78": "Engine exhaust",
    "79": "Engine oil",
    "80": "Starting",
    "81": "Turbocharging",
    "82": "Water injection",
    "83": "Accessory gearboxes",
    "85": "Reciprocating engine",
}

DETAILS = {
    "2710": "Aileron control system",
    "2720": "Rudder control system",
    "2730": "Elevator control system",
    "2740": "Stabilizer control system",
    "2810": "Fuel storage",
    "3200": "Landing gear system",
    "3201": "Landing gear and wheel fairing",
    "3210": "Main landing gear",
    "3211": "Main landing gear attach section",
    "3213": "Main landing gear strut, axle, truck",
    "3220": "Nose or tail landing gear",
    "3221": "Nose or tail landing gear attach section",
    "3222": "Nose or tail landing gear strut, axle",
    "3240": "Landing gear brake system",
    "3244": "Tire",
    "3246": "Wheel, ski, float",
    "3270": "Auxiliary gear (tail skid)",
    "5300": "Fuselage structure, general",
    "5310": "Fuselage main structure",
    "5311": "Fuselage main frame",
    "5312": "Fuselage main bulkhead",
    "5313": "Fuselage main longeron, stringer",
    "5315": "Fuselage main floor beam",
    "5320": "Fuselage miscellaneous structure",
    "5330": "Fuselage main plate, skin",
    "5340": "Fuselage main attach fittings",
    "5341": "Fuselage, wing attach fittings",
    "5342": "Fuselage, stabilizer attach fittings",
    "5343": "Fuselage, landing gear attach fittings",
    "5346": "Fuselage, powerplant attach fittings",
    "5347": "Fuselage, seat and cargo attach fittings",
    "5350": "Aerodynamic fairings",
    "5400": "Nacelle and pylon structure",
    "5412": "Nacelle and pylon bulkhead, firewall",
    "5500": "Empennage structure",
    "5510": "Horizontal stabilizer structure",
    "5520": "Elevator structure",
    "5530": "Vertical stabilizer structure",
    "5540": "Rudder structure",
    "5600": "Window and windshield system",
    "5610": "Flight compartment windows",
    "5620": "Passenger compartment windows",
    "5630": "Door windows",
    "5640": "Inspection windows",
    "5700": "Wing structure",
    "5710": "Wing main frame structure",
    "5711": "Wing spar",
    "5712": "Wing rib, bulkhead",
    "5714": "Wing center box",
    "5720": "Wing miscellaneous structure",
    "5730": "Wing plates, skins",
    "5740": "Wing attach fittings",
    "5741": "Wing, fuselage attach fittings",
    "5744": "Wing, control surface attach fittings",
    "5751": "Ailerons",
    "6100": "Propeller system",
    "6113": "Propeller spinner section",
    "7100": "Powerplant system",
    "7110": "Engine cowling system",
    "7111": "Engine cowl flaps",
    "7112": "Engine air baffle section",
    "7120": "Engine mount section",
    "7130": "Engine fireseals",
    "7160": "Engine air intake system",
    "7800": "Engine exhaust system",
    "7810": "Engine collector, tailpipe, nozzle",
    "7900": "Engine oil system (airframe)",
    "7910": "Engine oil storage (airframe)",
}

MAJOR_ZONES = {
    100: "Lower half of the fuselage",
    200: "Upper half of the fuselage",
    300: "Empennage, with the fuselage aft of the rear bulkhead",
    400: "Powerplants and their struts or pylons",
    500: "Left wing",
    600: "Right wing",
    700: "Landing gear and its doors",
    800: "Doors",
    900: "Reserved for differences not covered elsewhere",
}


def system_name(code: str) -> str | None:
    """The name of a system code, `32`, `3246` or `32-46`; None where it isn't known here."""
    digits = code.strip()
    if re.fullmatch(r"[0-9]{2}-[0-9]{2}", digits):
        digits = digits.replace("-", "")
    return HEADINGS.get(digits) or DETAILS.get(digits)


def is_known(code: str) -> bool:
    """Whether `system_name` has a name for the code."""
    return system_name(code) is not None


def major_zone(number: int) -> str:
    """The name of the ATA-100 major zone, by the first of the three digits of a zone number.

    Raises `Unreadable` (`zone-impossible`) outside 100 to 999.
    """
    if not 100 <= number <= 999:
        raise Unreadable(
            "zone-impossible",
            f"{number} is no zone number.",
            "Zones have three digits, 100 to 999; the first is the major zone.",
        )
    return MAJOR_ZONES[number // 100 * 100]


def side_hint(number: int) -> str | None:
    """`port`, `starboard` or None: the side that a zone number suggests. A hint, not a rule.

    The wings are 500 to port and 600 to starboard (ATA-100). Elsewhere odd zones lie to the left
    and even ones to the right (common practice, from memory); a number that ends in 0 names the
    whole sub-zone and says nothing. Raises as `major_zone`.
    """
    major_zone(number)
    if number // 100 in (5, 6):
        return "port" if number // 100 == 5 else "starboard"
    if number % 10 == 0:
        return None
    return "port" if number % 2 else "starboard"
