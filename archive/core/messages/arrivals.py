"""Messages about what is taken in: files that were named, sheets of captions, runs of `add`."""

from __future__ import annotations

from archive.core.messages.message import Message

ARRIVALS: dict[str, Message] = {
    "file-inside": Message(
        "A file that was to be added lies in the content folder already.",
        "It was copied there by hand.",
        "Write its note beside it, or move it out and add it from there.",
    ),
    "id-taken": Message(
        "A sheet gives a picture an id that another record has.",
        "Two rows have the same id, or a run before this one used it.",
        "Choose another, or leave the cell empty: then one is proposed.",
    ),
    "run-damaged": Message(
        "The register of a run of `add` can't be read.",
        "It was edited, or cut short in copying.",
        "Take it from a copy of the folder, or take out by hand what the run added.",
    ),
    "sheet-cell": Message(
        "A cell of a sheet stands under no heading.",
        "The row has a separator too many, or the column was never given a heading.",
        "Give the column a heading, or put the text with the separator in quotation marks.",
    ),
    "sheet-column": Message(
        "A heading of a sheet means no column, several, or one that is there already.",
        "A misspelling, or a column of your own.",
        "Use the names of the fields; put # before the heading of a column of your own.",
    ),
    "sheet-encoding": Message(
        "A sheet isn't UTF-8 and was read as Windows-1252.",
        "Spreadsheets save CSV in the computer's own code unless asked otherwise.",
        "Look whether letters with accents are right; if not, save it as CSV UTF-8 or as .xlsx.",
    ),
    "sheet-file": Message(
        "A row of a sheet and the files that were named don't fit together.",
        "The file's name is misspelt, was not named in the command, or stands in two rows.",
        "Correct the name in the sheet, or name the file or its folder as well.",
    ),
    "sheet-formula": Message(
        "A cell of a workbook holds a formula; it was taken as text and not worked out.",
        "The column was filled in by a formula.",
        "Put the values there: copy, then paste values only.",
    ),
    "sheet-source": Message(
        "A row tells something of a source that it can't change.",
        "Another row says otherwise; or (as advice) the source is there already and differs.",
        "Make the rows agree; a source that is there is corrected in its own file.",
    ),
    "sheet-unreadable": Message(
        "A sheet of captions can't be read.",
        "It is of another kind, damaged, empty, or far too large.",
        "Save it as CSV or as .xlsx, with one row for each picture.",
    ),
}
