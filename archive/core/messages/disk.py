"""Messages about the folder that a site is written to."""

from __future__ import annotations

from archive.core.messages.message import Message

DISK: dict[str, Message] = {
    "build-running": Message(
        "Another build of the same site is at work, or was when this one began.",
        "Two windows, or a watch that still runs.",
        "Wait until it ends, or stop it; a build that died is noticed and passed over.",
    ),
    "cannot-write": Message(
        "The disk refused to take a file.",
        "It is full, read-only, or belongs to somebody else.",
        "Make room or choose another folder with `--out`; what stood there before still stands.",
    ),
    "name-collides": Message(
        "Two files of the site would have names that differ in capitals only.",
        "Ids that are alike but for letters such as accents.",
        "Rename one of the records: a stick or a Windows disk can't hold both.",
    ),
    "name-not-portable": Message(
        "A file of the site would have a name that some disks can't hold.",
        "An id such as `con` or `aux`, which Windows keeps for itself, or one that is too long.",
        "Rename the record.",
    ),
    "name-taken": Message(
        "Two pages of the site would have the same name.",
        "Two records of one kind and id.",
        "Rename one of the records.",
    ),
    "output-not-ours": Message(
        "The folder for the site holds something that this program did not put there.",
        "`--out` names a folder of your own, or somebody left a file in the site.",
        "Name another folder, or move the file out; nothing was changed.",
    ),
    "no-labels": Message(
        "There is no label to set.",
        "No part has `label:` yet, or the parts that have one are sealed.",
        "Write `label:` into a part's note.",
    ),
    "no-such-language": Message(
        "Labels were asked for in a language that the visitors' edition isn't in.",
        "A slip in the tag, or the language isn't among `languages:` yet.",
        "Use one of those that are named, or add it to aircraft.yaml.",
    ),
    "output-taken": Message(
        "Something lies already where an export or a pack was to be written.",
        "The same command was run before, or `--out` names a folder of your own.",
        "Name another place, or move that one away; nothing was changed.",
    ),
    "pack-unreadable": Message(
        "A file of the content folder can't be taken into the pack.",
        "It is a link that leads out of the folder, or not a file at all.",
        "Put the file itself in its place, or take it out of the folder; nothing was written.",
    ),
    "stage-not-ours": Message(
        "The hidden folder in which the site is put together was not made by this program.",
        "A folder of the same name was copied there.",
        "Move it away, and build again.",
    ),
}
