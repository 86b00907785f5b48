"""Messages about picture files that can't be used."""

from __future__ import annotations

from archive.core.messages.message import Message

PICTURES: dict[str, Message] = {
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
    "negative-to-rule": Message(
        "Two pictures agree wherever they can be compared, and nobody has ruled whether they are "
        "one negative.",
        "A copy through a screen, or a blurred or small one, shows no grain; a second exposure "
        "from the same stand, and a sister in the same pose, look the same.",
        "Look at the difference on the photograph's page, and add same_negative with same or "
        "different, a name and a reason. Until then the two count once.",
    ),
    "pictures-to-compare": Message(
        "Some pictures are not compared with the others yet.",
        "Many pictures came in at once; a command takes a few at a time so that it answers soon.",
        "Run witnessmark build, which compares them all. It can be stopped and goes on later.",
    ),
    "ruled-against-grain": Message(
        "Two pictures are ruled to be two negatives, and share grain or dust.",
        "A crop or a retouched copy looks like another negative; or the two lay on one scanner, "
        "whose own pattern was taken for grain.",
        "Look again, and scan one of the two turned by a quarter if the scanner is suspected. The "
        "ruling stands until a person changes it.",
    ),
    "way-round-to-settle": Message(
        "Two pictures match with one of them turned over, or match though one is "
        "said to be flipped.",
        "One of them was printed or scanned the wrong way round, or the record has the wrong one.",
        "Find out which is right by lettering, cowling, or a thing that is on one side only, and "
        "add flipped to that photograph's record.",
    ),
    "image-unreadable": Message(
        "The picture file can't be read.",
        "The file's permissions, or the disk that it lies on, refuse it.",
        "Check the permissions and the disk, then try again.",
    ),
}
