"""Messages about the files of a content folder: their names, their YAML, their fields."""

from __future__ import annotations

from archive.core.messages.message import Message

FILES: dict[str, Message] = {
    "control-character": Message(
        "A file holds a character that can't be seen and isn't text.",
        "It was pasted from a word processor or a damaged file.",
        "Delete it; most editors can show such characters.",
    ),
    "ending-wrong": Message(
        "A record's file has the ending of another kind.",
        "Notes were saved as `.yaml`, or measurements as `.md`.",
        "Rename it: measurements and surveys end in `.yaml`, all others in `.md`.",
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
        "The second line of `---` is missing, so that the prose would be taken for fields.",
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
    "folder-wrong": Message(
        "A record lies in the folder of another kind.",
        "It was saved to the wrong folder, or copied as a pattern.",
        "Move it to the folder that the hint names.",
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
    "length-not-positive": Message(
        "A size or a tolerance isn't above nothing.",
        "A position's sign was kept, or a dash was taken for a minus.",
        "Leave the sign off. Only positions may be negative.",
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
    "not-a-file": Message(
        "Something in the folder is a device, a pipe or a socket.",
        "A program left it there.",
        "Take it out.",
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
    "outline-unreadable": Message(
        "An outline isn't a list of at least three points.",
        "A corner is missing, or the brackets are one level off.",
        "Write `[[x, y], [x, y], [x, y]]`.",
    ),
    "picture-format": Message(
        "A picture is of a kind that can't be opened here.",
        "A telephone or a camera saved it in a form of its own.",
        "Export it as JPEG, PNG, TIFF or WebP, and keep the original elsewhere.",
    ),
    "picture-missing": Message(
        "A photograph's note has no picture beside it.",
        "The picture was moved, renamed or never copied.",
        "Put it back, or take the note out; what was removed on purpose stands in removed.yaml.",
    ),
    "pictures-share-note": Message(
        "Two pictures share one note.",
        "A TIFF and a JPEG of one print were both kept.",
        "Rename both pictures, and give each a note of its own; or keep one.",
    ),
    "piece-lost": Message(
        "A blank before # makes a comment of a REF's piece.",
        "The blank slipped in: `slipway #chine` names the whole photograph.",
        "Close it up: `slipway#chine`.",
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
    "record-astray": Message(
        "A file that looks like a record lies where none are read.",
        "It was saved beside the right folder, or under another ending.",
        "Move or rename it as the hint says; or take out its first line of `---`.",
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
    "table-expected": Message(
        "A list or a value stands where names with values belong.",
        "It was written as a list.",
        "Write a name, a colon and the value on each line.",
    ),
    "text-cut": Message(
        "A blank and # end a value: YAML takes what follows for a comment.",
        "The sign stands for a number, as in `Chine #2 port`, or a remark stands too near.",
        "Put the whole value in quotes. A remark has two blanks before its # and one after it.",
    ),
    "translation-alone": Message(
        "A translation's record isn't there.",
        "The record was renamed.",
        "Give the translation the same name, or take it out.",
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
}
