"""Messages about what records say of each other."""

from __future__ import annotations

from archive.core.messages.message import Message

RECORDS: dict[str, Message] = {
    "address-unreadable": Message(
        "The address of the site is none that a telephone could go to.",
        "A folder or a drive was written, or https:// was left out.",
        "Write it whole, as https://…; leave it out where the site is opened from a stick.",
    ),
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
    "edition-damaged": Message(
        "The record of an edition that went out can't be read.",
        "A line of publications/… was changed or cut.",
        "Take it from a copy: it says who holds what of this record.",
    ),
    "edition-to-correct": Message(
        "An edition that went out shows what may not be shown so any more.",
        "Consent was withdrawn, a permission ended, or a label's grade moved after it went out.",
        "Tell those who hold copies, and make the edition anew. The page *Editions* lists it all.",
    ),
    "because-missing": Message(
        "A judgement that takes evidence away gives no reason.",
        "It was entered in haste.",
        "Add `because:` with what was seen.",
    ),
    "card-altered": Message(
        "What the register holds of a cutting card isn't what was printed.",
        "Somebody edited the file by hand, or two copies were mixed.",
        "Take the file from a copy of before; else issue the card anew with "
        "`witnessmark card --again NUMBER`.",
    ),
    "card-issues": Message(
        "The issues of a cutting card don't count 1, 2, 3, or something was made from none of "
        "them, held against none of them, or came back of none of them.",
        "An issue was taken out by hand, or a digit of `issue:` or `against:` is wrong.",
        "Take the file from a copy; under `cut:` and `returned:` correct the number.",
    ),
    "card-number": Message(
        "The name of a cutting card isn't its number.",
        "The file was renamed, or made by hand.",
        "Cards are made by `witnessmark card PART`, which gives each its number.",
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
    "configurations-contradict": Message(
        "A photograph is ruled to show two states that can't be at one time.",
        "Two people ruled, and one was mistaken, or an event stands in the wrong order.",
        "Look at the photograph again, and take out the ruling that was wrong.",
    ),
    "consent-order": Message(
        "Consent is withdrawn before the day on which it was given.",
        "A slip in one of the two days.",
        "Look at the form and the letter, and correct the day.",
    ),
    "dates-clash": Message(
        "Statements about when something happened can't all be true.",
        "A date, a reading of a photograph, a ruling or a link between copies is wrong.",
        "Look again at each statement that is named, and correct the wrong one. Until then what "
        "stands weakest among them counts for nothing, and the rest still does; where it is a "
        "problem, nothing is cut by claims that lean on a photograph among them.",
    ),
    "signed-to-come": Message(
        "A signature, or a ruling of a grade, bears a day that is still to come.",
        "A slip in the year, or a computer's clock was wrong.",
        "Correct the day, or sign again when it has come. Until then it doesn't count.",
    ),
    "day-to-come": Message(
        "A record is dated more than a year ahead.",
        "A slip in the year, or a computer's clock was wrong.",
        "Correct the day. Plans belong in the prose.",
    ),
    "drawn-on-another-scan": Message(
        "A picture isn't the file on which its regions and picks were drawn.",
        "It was scanned again, cropped or turned; every coordinate may now be off.",
        "Put the old file back, or draw regions and picks anew and correct `file:`.",
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
    "fitted-order": Message(
        "A part is fitted from an event that isn't before the one that ends it.",
        "`from` and `until` changed places, or an event has a wrong date.",
        "Exchange them, or correct the event's date.",
    ),
    "label-overclaims": Message(
        "A label, or a story, says more than the grade of what it tells of.",
        "The evidence was thought better than it is, or has moved since.",
        "Say no more than the grade, or find better evidence. [The words](labels.md) are listed.",
    ),
    "measured-elsewhere": Message(
        "A measurement is named as evidence of a photograph that it wasn't taken on.",
        "The wrong photograph or the wrong measurement was named.",
        "Correct one of them.",
    ),
    "member-unknown": Message(
        "A claim applies to a member that the part doesn't have, or a figure is of one.",
        "A tag is misspelt, or the member isn't listed.",
        "Correct the tag, or add the member.",
    ),
    "name-twice": Message(
        "A name, number or tag is given twice in one list.",
        "An entry was copied and not renamed. The first one counts.",
        "Give one of them another name.",
    ),
    "negatives-contradict": Message(
        "Two prints are ruled to be one negative and two, directly or by way of others.",
        "Two people ruled, and one was mistaken.",
        "Look at the prints again, and take out the ruling that was wrong.",
    ),
    "not-destroyed": Message(
        "Consent was taken back with return or destruction, and something of the item is here.",
        "The note was kept whole, or its pictures were forgotten.",
        "Keep the note with its id and days, its tombstone. Take its words and files out.",
    ),
    "not-utf-8": Message(
        "A file's text isn't UTF-8.",
        "An older editor saved it in the encoding of one country.",
        "Save it anew as UTF-8, and look at the letters with accents.",
    ),
    "option-unknown": Message(
        "What was chosen isn't among the options weighed.",
        "A misspelling, or the option was never listed.",
        "Correct it, or list the option.",
    ),
    "treatment-after": Message(
        "A treatment is to come after one that the part doesn't have, or after itself.",
        "A misspelling, or two treatments that wait for one another.",
        "Correct the name, or take it out.",
    ),
    "treatment-days": Message(
        "The day on which a treatment was carried out can't be right.",
        "A slip in one of the days, or one that it builds on was never recorded as done.",
        "Correct the day that is wrong.",
    ),
    "treatment-unsigned": Message(
        "An original was worked on without the signatures that such work asks for.",
        "The decision doesn't name the treatment, was signed later, or there was none.",
        "Name the decision and its letter. Where there was none, tell the owner; the record goes "
        "on saying so.",
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
    "picture-twice": Message(
        "Two photographs have the very same picture, byte for byte.",
        "The file was copied under another name; one print would be counted as two.",
        "Keep one note, or put the right picture beside the other.",
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
    "policy-not-applied": Message(
        "An override in policy.yaml isn't applied.",
        "Its rule is none that a policy can change, or no field says how: `grade`, `number`, "
        "`share`, `also`, `roles` or `always`.",
        "See which rules can be changed under *The grades*. Until it is mended, work is held: "
        "nobody can tell what the team meant to ask for.",
    ),
    "policy-refused": Message(
        "An override in policy.yaml is refused.",
        "It would loosen a rule that guards metal or an original, or it has another rule's field.",
        "Take it out, or make it stricter than the rule. Until then the rule holds as it is.",
    ),
    "ref-unknown": Message(
        "A REF names a record that isn't there.",
        "It is misspelt, was renamed, or isn't written yet.",
        "Correct the REF, or add the record.",
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
    "rights-contradict": Message(
        "The rights of a source contradict themselves.",
        "Two letters were entered as one, or a statement was copied from another item.",
        "Look at the letters, and keep what holds. Until then the item is withheld everywhere.",
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
    "rival-without-against": Message(
        "An item names a rival and doesn't speak against the claim.",
        "`against: yes` was left out; the item would count for what it contradicts.",
        "Add `against: yes`, or take `rival:` out.",
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
    "size-not-positive": Message(
        "The size that an item of evidence gives is nought or less.",
        "A position's sign was kept, or a dash was taken for a minus.",
        "Leave the sign off; where a position is meant, correct the claim's aspect.",
    ),
    "state-damaged": Message(
        "A named state of the findings can't be read; nothing is compared with it.",
        "The file under `states/` was edited, cut short or damaged.",
        "Take it from a copy, or keep a state anew with `witnessmark state NAME --replace`.",
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
    "to-do-open": Message(
        "A line of a note begins with an empty box, `- [ ]`: something is left to be done.",
        "The record was taken in by `add`, which names what it couldn't know, or a person put "
        "it off.",
        "Do it and write `[x]`, or take the line out.",
    ),
    "value-twice": Message(
        "An item of evidence gives a value of its own and a measurement's.",
        "The value was copied beside the measurement, and can now differ from it.",
        "Take out `value:`; the measurement brings its value and error along.",
    ),
    "words-withheld": Message(
        "What the public reads repeats words of a record that is withheld.",
        "A letter or an interview was quoted in a story, a summary or a claim.",
        "Take the words out, or clear the rights for the web.",
    ),
    "zone-side": Message(
        "A part's side isn't the one that its zone's number suggests.",
        "The wrong zone or the wrong side was entered; numbers may differ on purpose.",
        "Correct one of them, or leave it.",
    ),
}
