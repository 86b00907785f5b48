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
    "alt-missing": Message(
        "A picture isn't told in words.",
        "The note was written for people who see the picture.",
        "Add `alt:` with one sentence that says what is to be seen.",
    ),
    "approval-no-letter": Message(
        "An approval from outside the workshop has no letter behind it.",
        "It was given by telephone, or the letter isn't filed yet.",
        "Keep the letter as a source and name it with `letter:`.",
    ),
    "because-missing": Message(
        "A judgement that takes evidence away gives no reason.",
        "It was entered in haste.",
        "Add `because:` with what was seen.",
    ),
    "checksum-short": Message(
        "A checksum is cut too short to tell files apart.",
        "Only its first few characters were copied.",
        "Write at least the first 8 characters, better 16.",
    ),
    "circle": Message(
        "Records follow each other in a circle: each is older than, inside, or in place of itself.",
        "One REF was written the wrong way round.",
        "Find the record that comes first in the chain, and take its REF out.",
    ),
    "citation-thin": Message(
        "A citation lacks what its kind of item is usually found by.",
        "It isn't known yet, or stands in the prose.",
        "Add the field as soon as it is known; nothing is refused until then.",
    ),
    "configuration-order": Message(
        "A state of the aircraft begins after an event that isn't before the one that ends it.",
        "`after` and `before` changed places, or an event has a wrong date.",
        "Exchange them, or correct the event's date.",
    ),
    "consent-order": Message(
        "Consent is withdrawn before the day on which it was given.",
        "A slip in one of the two days.",
        "Look at the form and the letter, and correct the day.",
    ),
    "control-character": Message(
        "A file holds a character that can't be seen and isn't text.",
        "It was pasted from a word processor or a damaged file.",
        "Delete it; most editors can show such characters.",
    ),
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
    "day-to-come": Message(
        "A record is dated later than today.",
        "A slip in the year, or a computer's clock was wrong.",
        "Correct the day. Plans belong in the prose.",
    ),
    "drawn-on-another-scan": Message(
        "A picture isn't the file on which its regions and picks were drawn.",
        "It was scanned again, cropped or turned; every coordinate may now be off.",
        "Put the old file back, or draw regions and picks anew and correct `file:`.",
    ),
    "ending-wrong": Message(
        "A record's file has the ending of another kind.",
        "Notes were saved as `.yaml`, or measurements as `.md`.",
        "Rename it: measurements and surveys end in `.yaml`, all others in `.md`.",
    ),
    "error-not-positive": Message(
        "The error of a length is nought or carries a sign.",
        "`+/- 0` was written for an error that isn't known, or `+/- -1/8 in` by a slip.",
        "Write the 95 % half-width as a plain length, or leave `+/-` out where it isn't known.",
    ),
    "evidence-nothing": Message(
        "An item of evidence names nothing that it comes from.",
        "Only its words or its value were entered.",
        "Add `photo:`, `source:`, `part:` or `survey:`.",
    ),
    "evidence-two": Message(
        "An item of evidence names two things at once.",
        "Two witnesses were written as one; they have to be counted apart.",
        "Make an item of each.",
    ),
    "field-missing": Message(
        "A field that every such record needs isn't there.",
        "It isn't known yet, or stands under another name.",
        "Add the field; the sentence says what belongs in it.",
    ),
    "field-twice": Message(
        "A field stands twice in one group.",
        "It was copied from another record, or two people added it.",
        "Keep one of them. The first is the one that is read.",
    ),
    "field-unknown": Message(
        "A field has a name that isn't known at this place.",
        "A misspelling, or the field belongs to the group above or below.",
        "Correct the name or the indentation; the manual lists the fields.",
    ),
    "fields-expected": Message(
        "Text stands where `name: value` lines are expected.",
        "The colon or the blank after it is missing.",
        "Write each field as its name, a colon, a blank and its value.",
    ),
    "fields-missing": Message(
        "A note doesn't begin with its fields.",
        "The first line of `---` is missing, or something stands above it.",
        "Put the fields first, between two lines of `---`.",
    ),
    "fields-open": Message(
        "The fields of a note are never closed.",
        "The second line of `---` is missing.",
        "Put a line of `---` between the fields and the prose.",
    ),
    "file-empty": Message(
        "A record's file holds nothing.",
        "It was made for later, or a save failed.",
        "Fill it in, restore it, or delete it.",
    ),
    "file-large": Message(
        "A record's file is larger than 1 MiB.",
        "A transcript or a table was pasted in whole.",
        "Keep it as a file of its own, outside the archive's records, and quote from it.",
    ),
    "file-missing": Message(
        "A file that every content folder has isn't there.",
        "It was deleted or renamed.",
        "Write it anew; `witnessmark new` shows what it looks like.",
    ),
    "file-name": Message(
        "A file's name can't be the id of a record.",
        "It has capitals, blanks, accents or signs, is too long, or is a name that Windows keeps.",
        "Rename it with a-z, 0-9 and `-`, beginning with a letter or a digit.",
    ),
    "file-stray": Message(
        "A file lies among the records and is none.",
        "It was put there to hand.",
        "Move it out, or put a dot before its name.",
    ),
    "file-unreadable": Message(
        "A record's file can't be opened.",
        "Its permissions, or the disk, refuse it.",
        "Check the permissions, then the disk.",
    ),
    "fitted-order": Message(
        "A part is fitted from an event that isn't before the one that ends it.",
        "`from` and `until` changed places, or an event has a wrong date.",
        "Exchange them, or correct the event's date.",
    ),
    "folder-deep": Message(
        "Folders are nested deeper than anybody files.",
        "A folder was copied into itself.",
        "Take the inner copies out.",
    ),
    "folder-unknown": Message(
        "A folder beside those of the records isn't read.",
        "It is misspelt, or holds something else.",
        "Rename it if it holds records; else move it out.",
    ),
    "folder-unreadable": Message(
        "A folder can't be listed.",
        "Its permissions, or the disk, refuse it.",
        "Check the permissions, then the disk.",
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
    "group-expected": Message(
        "A single value stands where a group of fields belongs.",
        "The short form isn't known for this field.",
        "Write the fields of the group, as the hint shows.",
    ),
    "id-twice": Message(
        "Two files of one kind have the same name.",
        "They lie in different subfolders, which don't count.",
        "Rename one of them, and what names it.",
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
    "judgement-unsigned": Message(
        "A judgement stands without a name or a day.",
        "Only its value was entered.",
        "Write `{is: …, by: …, on: …, because: …}`.",
    ),
    "language-unreadable": Message(
        "A language isn't given as a tag.",
        "Its name was written out.",
        "Write the tag: `en`, `en-GB`, `nb`.",
    ),
    "length-absurd": Message(
        "A length is longer than any aircraft.",
        "A wrong unit (m for mm) or a lost decimal point.",
        "Check the number and its unit.",
    ),
    "length-not-positive": Message(
        "A size or a tolerance isn't above nothing.",
        "A position's sign was kept, or a dash was taken for a minus.",
        "Leave the sign off. Only positions may be negative.",
    ),
    "length-unreadable": Message(
        "A length is not written in a way that can be read.",
        "A decimal comma, a mark for thousands, a word that has no place there, or twelve inches "
        "and more after feet.",
        "Write 7 1/4 in, 7.25 in, 2 ft 3 5/8 in or 184 mm, and the error after it: "
        "184 mm +/- 0.5 mm.",
    ),
    "link-refused": Message(
        "A link in the folder leads elsewhere and isn't followed.",
        "A file was linked instead of copied; the archive must be whole by itself.",
        "Put the file itself in its place.",
    ),
    "list-expected": Message(
        "One value stands where a list belongs.",
        "The brackets or the dash are missing. It is read as a list of one.",
        "Put it in `[ ]`, or on a line of its own after a dash.",
    ),
    "measured-elsewhere": Message(
        "A measurement is named as evidence of a photograph that it wasn't taken on.",
        "The wrong photograph or the wrong measurement was named.",
        "Correct one of them.",
    ),
    "member-unknown": Message(
        "A claim applies to a member that the part doesn't have.",
        "A tag is misspelt, or the member isn't listed.",
        "Correct the tag, or add the member.",
    ),
    "name-twice": Message(
        "A name, number or tag is given twice in one list.",
        "An entry was copied and not renamed. The first one counts.",
        "Give one of them another name.",
    ),
    "name-unreadable": Message(
        "A name has letters that names don't have.",
        "Capitals, blanks or underscores were used.",
        "Write it with a-z, 0-9 and `-`.",
    ),
    "names-collide": Message(
        "Two names in one folder differ only in capitals or accents.",
        "Files came from two kinds of computers; some disks can hold only one of them.",
        "Rename one of them.",
    ),
    "negatives-contradict": Message(
        "Two prints are ruled to be one negative and two, directly or by way of others.",
        "Two people ruled, and one was mistaken.",
        "Look at the prints again, and take out the ruling that was wrong.",
    ),
    "not-a-file": Message(
        "Something in the folder is a device, a pipe or a socket.",
        "A program left it there.",
        "Take it out.",
    ),
    "not-utf-8": Message(
        "A file's text isn't UTF-8.",
        "An older editor saved it in the encoding of one country.",
        "Save it anew as UTF-8, and look at the letters with accents.",
    ),
    "note-missing": Message(
        "A picture has no note beside it.",
        "It was copied in before anybody described it.",
        "Write a note of the same name that ends in `.md`, or use `witnessmark add`.",
    ),
    "number-expected": Message(
        "Something else stands where a number belongs.",
        "A unit, a comma or a word was written.",
        "Write digits with a point; the field's name gives the unit.",
    ),
    "one-expected": Message(
        "A list or a group stands where one value belongs.",
        "Brackets, braces or a colon in a text make YAML see more than one.",
        "Put the text in quotes, or keep one value.",
    ),
    "option-unknown": Message(
        "What was chosen isn't among the options weighed.",
        "A misspelling, or the option was never listed.",
        "Correct it, or list the option.",
    ),
    "outline-unreadable": Message(
        "An outline isn't a list of at least three points.",
        "A corner is missing, or the brackets are one level off.",
        "Write `[[x, y], [x, y], [x, y]]`.",
    ),
    "outside-picture": Message(
        "Something is drawn beyond the edges of its picture.",
        "It was drawn on another size of the picture, or x and y changed places.",
        "Draw it anew, in pixels of the upright picture from its top left corner.",
    ),
    "pair-expected": Message(
        "A known length doesn't lie between just two picks.",
        "One pick too many or too few is named.",
        "Name the two picks between which the length is known.",
    ),
    "person-unknown": Message(
        "Somebody is named who isn't in people.yaml.",
        "Their initials are misspelt, or they are new.",
        "Correct the initials, or add the person.",
    ),
    "pick-elsewhere": Message(
        "A pick is on no photograph of its measurement, or doesn't say on which.",
        "The measurement has several photographs, or one was taken out.",
        "Add `photo:` to the pick, or the photograph to `photos:`.",
    ),
    "pick-unknown": Message(
        "A measurement runs between picks that aren't there.",
        "A pick was renamed or taken out.",
        "Correct the name, or make the pick.",
    ),
    "picture-missing": Message(
        "A photograph's note has no picture beside it.",
        "The picture was moved, renamed or never copied.",
        "Put it back, or take the note out; what was removed on purpose stands in removed.yaml.",
    ),
    "picture-twice": Message(
        "Two pictures share one note.",
        "A TIFF and a JPEG of one print were both kept.",
        "Keep one, or give the other a note of its own.",
    ),
    "piece-lost": Message(
        "A blank before # makes a comment of a REF's piece.",
        "The blank slipped in: `slipway #chine` names the whole photograph.",
        "Close it up: `slipway#chine`.",
    ),
    "piece-twice": Message(
        "Two pieces of a record have the same name.",
        "A claim or a region was copied and not renamed.",
        "Rename one: after #, all pieces of a record share their names.",
    ),
    "piece-unknown": Message(
        "A REF names a piece that its record doesn't have.",
        "The piece was renamed, or is misspelt.",
        "Correct the word after #.",
    ),
    "point-unknown": Message(
        "A surveyed point names an opposite that the survey doesn't have.",
        "The point was renamed, or is misspelt.",
        "Correct the name.",
    ),
    "point-unreadable": Message(
        "A point isn't two numbers.",
        "One number is missing, or something else stands there.",
        "Write `[x, y]`.",
    ),
    "prose-nested": Message(
        "Prose is nested so deep that it can't be set as a page.",
        "A file was damaged, or text was pasted from a program.",
        "Take out the repeated brackets, quotation marks or blanks.",
    ),
    "ref-unknown": Message(
        "A REF names a record that isn't there.",
        "It is misspelt, was renamed, or isn't written yet.",
        "Correct the REF, or add the record.",
    ),
    "ref-unreadable": Message(
        "Something else stands where a record should be named.",
        "The folder is missing, or the title was written.",
        "Write the folder and the file's name without its ending: `parts/nose-bowl`.",
    ),
    "ref-wrong-kind": Message(
        "A REF names a record of a kind that can't stand here.",
        "Two fields changed places, or the folder is wrong.",
        "Name a record of the kind that the hint gives.",
    ),
    "region-side": Message(
        "A region's name says a side of the aircraft.",
        "It was named by what was thought to be seen.",
        "Name it for the thing: names stay when a print proves flipped.",
    ),
    "region-unknown": Message(
        "Something is seen in a region that the photograph doesn't have.",
        "The region was renamed, or is misspelt.",
        "Correct the name, or draw the region.",
    ),
    "rival-aspect": Message(
        "A claim is called a rival of one about another aspect.",
        "Both can be true at once, so neither is a rival.",
        "Correct the aspect, or take `rival_of` out.",
    ),
    "rival-itself": Message(
        "A claim is called a rival of itself.",
        "The entry was copied and not changed.",
        "Name the claim that it contradicts.",
    ),
    "rival-unknown": Message(
        "A rival is named that the part doesn't have.",
        "The claim was renamed, or is misspelt.",
        "Correct the name; rivals are claims of one part.",
    ),
    "scan-not-named": Message(
        "Nothing says which file regions and picks were drawn on.",
        "`file:` was left out.",
        "Add `file:` with the checksum, so that a new scan can't shift them unseen.",
    ),
    "side-to-rule": Message(
        "A print is flipped, and nobody has ruled which hand a region or pick is.",
        "The flip was found after they were drawn.",
        "Look again and add `ruled:` (`picks_ruled:` for picks); until then they are no evidence.",
    ),
    "sister-unnamed": Message(
        "Something is of a sister aircraft, and doesn't say which.",
        "It isn't known yet.",
        "Add `sister:` as soon as it is.",
    ),
    "support-circular": Message(
        "A claim is, by way of others, its own evidence.",
        "A length was measured with a reference that rests on that very length.",
        "Take out the item that begs the question; the circle lends no grade.",
    ),
    "system-unknown": Message(
        "A system code isn't in the table.",
        "A slip in its digits, or another table was used.",
        "Write the four digits of the JASC code, or leave the field out.",
    ),
    "table-expected": Message(
        "A list or a value stands where names with values belong.",
        "It was written as a list.",
        "Write a name, a colon and the value on each line.",
    ),
    "translation-alone": Message(
        "A translation's record isn't there.",
        "The record was renamed.",
        "Give the translation the same name, or take it out.",
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
    "value-twice": Message(
        "An item of evidence gives a value of its own and a measurement's.",
        "The value was copied beside the measurement, and can now differ from it.",
        "Take out `value:`; the measurement brings its value and error along.",
    ),
    "whole-expected": Message(
        "Something else stands where a whole number belongs.",
        "A unit, a point or a word was written.",
        "Write digits alone.",
    ),
    "word-unknown": Message(
        "A field takes one of a few words, and has another.",
        "A misspelling, or a word of everyday speech.",
        "Take one of the words that the hint lists.",
    ),
    "yaml-alias": Message(
        "A text begins with & or *, which YAML takes for an alias.",
        "Emphasis was written with stars, or an alias was meant.",
        "Put the text in quotes; write repeated values out.",
    ),
    "yaml-deep": Message(
        "Fields are nested deeper than any record needs.",
        "Brackets or dashes were repeated, or the file is damaged.",
        "Take them out.",
    ),
    "yaml-syntax": Message(
        "Fields can't be told apart at this place.",
        "A colon, a quotation mark, a bracket or the indentation is off.",
        "The hint names the likeliest; text with signs in it is safest in quotes.",
    ),
    "yaml-tag": Message(
        "A word that begins with ! stands before a value.",
        "YAML takes it for a type; the fields alone give types here.",
        "Take it out, or put the text in quotes.",
    ),
    "yes-or-no": Message(
        "A field takes yes or no, and has something else.",
        "Capitals, on/off or a word were written.",
        "Write `yes` or `no` in small letters; leave the field out where it isn't known.",
    ),
    "zone-impossible": Message(
        "A zone number lies outside 100 to 999.",
        "A slip, or a number of the team's own in place of a zone.",
        "Zones have three digits; the first is the major zone (500 is the left wing). A team's own "
        "number belongs in `number`.",
    ),
    "zone-side": Message(
        "A part's side isn't the one that its zone's number suggests.",
        "The wrong zone or the wrong side was entered; numbers may differ on purpose.",
        "Correct one of them, or leave it.",
    ),
}
