"""What each word of a problem means: what happened, why it usually does, and what to do about it.

The words are the `code` of `Problem` and `Unreadable`. Keep the table in alphabetical order.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Message:
    """One word explained: what happened, the usual cause, and what to do."""

    happened: str
    cause: str
    mend: str


MESSAGES: dict[str, Message] = {
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
    "image-changed": Message(
        "The picture changed while the pages were being made.",
        "Someone saved the file between its reading and its reduction.",
        "Run the command again once the file is at rest.",
    ),
    "image-damaged": Message(
        "The picture's data can't be decoded.",
        "The file was cut short in copying, or bytes in it have changed.",
        "Copy the file again from where it came from, or scan the print again.",
    ),
    "image-empty": Message(
        "The picture file holds no bytes.",
        "A copy or a download that failed leaves an empty file behind.",
        "Copy the file again from where it came from.",
    ),
    "image-exif-damaged": Message(
        "The camera data in the picture is damaged, so which way up it stands isn't known.",
        "An editor or a repair program wrote the embedded data badly.",
        "Save the picture anew without its embedded data, keep the original beside it as a "
        "source, and check that it stands upright.",
    ),
    "image-format-refused": Message(
        "The file is of a kind that isn't taken as a photograph.",
        "Only JPEG, PNG, TIFF and WebP are opened; the content counts, not the file's name.",
        "Export the picture as TIFF, PNG or JPEG, and keep the original as an attachment.",
    ),
    "image-layout-refused": Message(
        "The picture's pixels are laid out in a way that has no agreed look on a screen.",
        "Floating-point, signed or 32-bit pixels come from instruments and have no fixed white.",
        "Export the picture as 8-bit or 16-bit grey, or as RGB.",
    ),
    "image-missing": Message(
        "The picture file isn't there.",
        "It was moved, renamed or deleted, or the name is misspelt.",
        "Put the file back, or correct the name in the record.",
    ),
    "image-not-a-file": Message(
        "The name belongs to a folder or a device, not to a file.",
        "Only plain files are opened.",
        "Put a plain picture file in its place.",
    ),
    "image-not-a-picture": Message(
        "The file's content isn't a picture, whatever its name says.",
        "A text, a web page or an error message was saved under a picture's name.",
        "Fetch the picture again, or give the file its right ending and keep it as a source.",
    ),
    "image-out-of-memory": Message(
        "The picture needs more memory than a picture is given.",
        "Very large scans, above all in colour with transparency, need several bytes a pixel.",
        "Save the scan as 8-bit grey or RGB without transparency, or in parts.",
    ),
    "image-reader-stopped": Message(
        "The program that opens pictures stopped at this one.",
        "A damaged or hostile file can stop a decoder, and so can a machine short of memory.",
        "Open the picture in an editor and save it anew; if that fails too, scan it again.",
    ),
    "image-swells": Message(
        "The file is far too small for the number of pixels that it claims.",
        "Files made to exhaust a computer look like this, and so do large blank sheets.",
        "If the picture is real, allow its number of pixels for this file by name.",
    ),
    "image-too-many-pixels": Message(
        "The picture has more pixels than a picture is allowed.",
        "The limit guards the computer against files made to exhaust it.",
        "Allow the number of pixels for this file by name (600 million at most), or save the "
        "scan in parts.",
    ),
    "image-too-slow": Message(
        "The picture took longer to open than a picture is given.",
        "The file is damaged, made to exhaust a computer, or lies on a very slow disk.",
        "Copy the file to a local disk and try again, or save the picture anew.",
    ),
    "image-unreadable": Message(
        "The picture file can't be read.",
        "The file's permissions, or the disk that it lies on, refuse it.",
        "Check the permissions and the disk, then try again.",
    ),
    "length-absurd": Message(
        "A length is longer than any aircraft.",
        "A wrong unit (m for mm) or a lost decimal point.",
        "Check the number and its unit.",
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
