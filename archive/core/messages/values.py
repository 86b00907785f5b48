"""Messages about lengths, dates and numbers that can't be read."""

from __future__ import annotations

from archive.core.messages.message import Message

VALUES: dict[str, Message] = {
    "date-impossible": Message(
        "A date has the right form, but no calendar holds it.",
        "A slip in the month or the day, such as 31 June or 29 February 1931; or day and month "
        "changed places.",
        "Look at the source again. Months are 01 to 12; 21 to 24 are seasons and 33 to 36 "
        "quarters, which take no day.",
    ),
    "date-inverted": Message(
        "An interval ends before it starts.",
        "The two dates changed places, or one has a slip in its year.",
        "Write the earlier date first: 1933-05/1933-08.",
    ),
    "date-unreadable": Message(
        "A date is not written in EDTF, the extended date format.",
        "It stands as people say it (12 May 1931, c. 1931, the 1930s), or a nought is missing.",
        "Write 1931-05-12, 1931-05 or 1931; 1931~ for about, 1931? where uncertain, 193X for a "
        "decade, 1933-05/1933-08 for between two dates, ../1931 for no later than.",
    ),
    "day-needed": Message(
        "A field that takes one single day holds a wider date.",
        "Only the month or the year is known, or an interval was given.",
        "Write the day as YYYY-MM-DD. Where it isn't known, leave the field out and say so in "
        "words.",
    ),
    "error-not-positive": Message(
        "The error of a length is nought or carries a sign.",
        "`+/- 0` was written for an error that isn't known, or `+/- -1/8 in` by a slip.",
        "Write the 95 % half-width as a plain length, or leave `+/-` out where it isn't known.",
    ),
    "fraction-improper": Message(
        "A fraction in a length is one or more.",
        "The blank after a whole number was lost (`11/4 in` for `1 1/4 in`), or a figure slipped.",
        "Write the whole number, a blank and a fraction below one: 2 3/4 in.",
    ),
    "gauge-system-missing": Message(
        "A sheet or tube is given by a gauge number without its system.",
        "The number was copied from a paper that takes the system for granted. The same number is "
        "another thickness in each: 18 is .0403 in B&S, .049 in BWG, .050 in USS, .048 in SWG.",
        "Name the system (18 ga B&S); where it isn't known, measure the piece and write inches or "
        "millimetres.",
    ),
    "gauge-unknown": Message(
        "A gauge number is not in the table of its system.",
        "A slip in the number, or another system was meant.",
        "Check it against the source, or write the thickness in inches or millimetres.",
    ),
    "length-absurd": Message(
        "A length is longer than any aircraft.",
        "A wrong unit (m for mm) or a lost decimal point.",
        "Check the number and its unit.",
    ),
    "length-range": Message(
        "A range stands where one length is wanted.",
        "The size is known only between two bounds.",
        "Write the middle and half of the span as a hard bound: 185 mm +/- 1 mm limit.",
    ),
    "length-unreadable": Message(
        "A length is not written in a way that can be read.",
        "A decimal comma, a mark for thousands, a word that has no place there, or twelve inches "
        "and more after feet.",
        "Write 7 1/4 in, 7.25 in, 2 ft 3 5/8 in or 184 mm, and the error after it: "
        "184 mm +/- 0.5 mm.",
    ),
    "unit-missing": Message(
        "A number stands where a length is wanted, without a unit.",
        "The unit was taken for granted, or given only once for a value and its error.",
        "Write the unit after each number: 7 1/4 in +/- 1/8 in.",
    ),
    "unit-unknown": Message(
        "A word after a number is no unit of length known here.",
        "A slip, or a unit of another kind.",
        "Use in, ft, mm, cm or m; for sheet and tube, ga with its system.",
    ),
    "zone-impossible": Message(
        "A zone number lies outside 100 to 999.",
        "A slip, or a number of the team's own in place of a zone.",
        "Zones have three digits; the first is the major zone (500 is the left wing). A team's own "
        "number belongs in `number`.",
    ),
}
