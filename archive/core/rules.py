"""The grading rules, numbered: the pages quote them by number, the manual prints this table."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

RULE_SET = 5
"""The number of this rule set: it goes into every evidence state."""

GRADED_ON: Mapping[str, str] = MappingProxyType(
    {
        "on the airframe": "the surviving part, or its mark on this airframe",
        "matched": "the opposite hand or a mate; or a sister's part or a maker's drawing that was "
        "tried on this airframe and agrees",
        "corroborated": "two or more independent period witnesses of this airframe that agree",
        "seen": "one period witness of this airframe: an image, or a first-hand dated paper",
        "said": "other words; a sister or the type, without a trial that agrees",
        "conjecture": "nothing, and it is said openly",
    }
)
"""Each grade, best first, and what it rests on at best."""

GRADING: Mapping[str, str] = MappingProxyType(
    {
        "G1": "Metal of the part itself, or of a piece that belongs to it, of this airframe "
        "and fitted in the claim's configuration; or the mark that the missing part "
        "left on other metal of this airframe: on the airframe. A measured point counts "
        "as the metal it lies on.",
        "G2": "The opposite hand or a mate that survives on this airframe: matched.",
        "G3": "A sister's or donor's part, or a drawing, with a recorded trial on the maker's "
        "metal of this airframe, no looser than the tolerance: matched; without one: "
        "said. Other parts of this airframe, and pictures of the opposite hand, are "
        "analogies: said.",
        "G4": "A period photograph of this airframe that reads clear or probable: seen.",
        "G5": "Two or more independent period witnesses that agree, at least one of them an "
        "image and one a clear reading: corroborated. A figure whose error is wider "
        "than the tolerance agrees with anything, and corroborates nothing.",
        "G6": "For material and finish two first-hand dated papers that agree: corroborated.",
        "G7": "A first-hand paper about this airframe, dated to her flying days: seen. Other "
        "words, and every interview: said.",
        "G8": "A possible reading: said at most.",
        "G9": "A photograph that may, but need not, have been taken in the configuration, by the "
        "chronology and the rulings: seen at most, and two of them do not corroborate. One "
        "that cannot have been, or of whose negative another print cannot: no evidence.",
        "G10": "Retouched at the place: no evidence.",
        "G11": "Flipped, and the side not ruled: no evidence.",
        "G12": "A halftone, or what was made from one, for a size: no evidence.",
        "G13": "A source that is discredited, or made from one that is: no evidence.",
        "G14": "Finish from monochrome photographs: no evidence, save where two tones change "
        "places between two photographs of two origins.",
        "G15": "An absence counts only where the thing would have shown.",
        "G16": "A sister, the type or an airframe that nobody has named: said at most; of all "
        "prints of one negative the most doubtful word holds.",
        "G17": "Metal that took the place of the part, itself or with its assembly, or that "
        "was not fitted in the configuration, an earlier restorer's work, and what is "
        "not ours: no evidence for it; where the chronology can't tell: seen at most.",
        "G18": "A circle of claims that lean on each other lends no grade.",
        "G19": "Copies count once, by the best generation among them; one sitting is one "
        "witness for material and finish.",
        "G20": "A size or a position needs a figure with its error: a witness without one is "
        "no evidence for it.",
        "G21": "Evidence against a claim that is, counted by witness, as strong as the claim; "
        "two figures for it that can't both be right; a rival on the same grade; or dates that "
        "clash beneath it: not settled. Words do not beat metal.",
        "G22": "A person may overrule, by name and with a reason, pinned to an evidence state; "
        "it lapses when the evidence moves. Of two the lower holds, and nobody alone "
        "lifts a claim to seen or better.",
        "G23": "Nothing speaks for it: conjecture.",
        "G24": "A photograph of the remains or of a mock-up is no period witness: name the piece.",
    }
)

WITNESSING: Mapping[str, str] = MappingProxyType(
    {
        "W1": "A photograph goes with the item that it is a picture of.",
        "W2": "An item goes with what it was printed, copied, traced or written from.",
        "W3": "A person has ruled that two photographs come from one negative: one witness. Ruled "
        "to be different, two that only their pictures join are two.",
        "W4": "Items of one sitting (one roll, one visit) are independent for existence, shape, "
        "size and position, and one witness for material and finish.",
        "W5": "Two notes have one and the same picture file: one witness.",
        "W6": "Two pictures share grain or dust: copies of one negative, and one witness. What "
        "they share at one place of two scans may be the scanner's own, and joins nothing.",
        "W7": "Two pictures agree wherever they can be compared, but no grain can be read: a copy, "
        "or a second exposure from the same stand. They count once, and share nothing else, until "
        "a person rules.",
        "W8": "Two pictures show one scene, and the camera or a thing in it has moved: two "
        "negatives, taken to be of one sitting unless the records name two.",
    }
)
"""What counts as one witness. Lying in one album joins nothing, and a picture in which nothing is
found to connect it with another is not thereby shown to be independent."""

DATING: Mapping[str, str] = MappingProxyType(
    {
        "T1": "An event is the moment when it was done, somewhere within its date; a date marked "
        "as approximate or uncertain counts as it is written.",
        "T2": "A state begins once the events before it have happened, and ends with the first of "
        "those after it; a part is fitted before it is taken off.",
        "T3": "A date that somebody argues for counts: for a photograph, the day it was taken; for "
        "a source, the day it was made.",
        "T4": "A date that is merely written counts only where nobody has argued for one, it is "
        "not marked as approximate or uncertain, and nothing stronger contradicts it, be that set "
        "aside in a clash that is open (T11). On a later "
        "print, a copy or a halftone it is a latest day, no more.",
        "T5": "Prints of one negative share its day. A print's own making is another day, and a "
        "later one. Frames of one sitting have no order.",
        "T6": "What is made from a thing is no older than it: a publication is the latest day of "
        "the pictures in it, and of all that they were made from.",
        "T7": "A photograph of this airframe that shows a part was taken after the event that "
        "fitted it and before the one that took it off; one that shows what an event did, after "
        "that event.",
        "T8": "A thing that is seen to be absent, where it would have shown: the photograph was "
        "taken before it was fitted or after it was taken off. Where both are open, neither bounds "
        "anything until something else closes one.",
        "T9": "A person's ruling that a photograph must, or cannot, fall in a state is a statement "
        "like the others. A ruling that it may, or that it cannot, is never overruled by the "
        "chronology.",
        "T10": "A photograph of a sister was taken after she was built.",
        "T11": "Statements that can't all be true are told as the smallest clash: without any one "
        "of them the rest can be true. Set aside is what stands weakest in it: dates merely "
        "written, then things seen to be absent, then what else the records of photographs and "
        "sources say, then what parts say of their fitting, last the aircraft's own dates. "
        "Everything else still counts.",
        "T12": "A photograph must fall in a state if it can't have been taken before the events "
        "that begin it nor after those that end it; it cannot, if it was taken before one that "
        "begins it or after one that ends it; else it may. Two things of one day have no order "
        "unless something says so.",
    }
)
"""The rules of the chronology: how statements about time are taken."""

CLEARING: Mapping[str, str] = MappingProxyType(
    {
        "C1": "Looking, and a mock-up in card, are open at any grade.",
        "C2": "Trial stock asks for existence, shape, size and material, each said or better.",
        "C3": "Cutting for display asks for existence, shape, size and material, each seen or "
        "better, settled, and of every member that is to be made.",
        "C4": "The error of each size must be no wider than the tolerance that the job needs.",
        "C5": "A decision for the whole part and the target state must say build, signed on "
        "the evidence of today; where any claim is only seen, it must say build "
        "provisionally.",
        "C6": "The part must have been on the aircraft in the target configuration.",
        "C7": "Touching an original asks that it was recorded as found, before anybody agreed to "
        "the work: by whom, on which day, in what condition, with photographs as found.",
        "C8": "An open question about the part holds the cut until it is settled.",
        "C9": "A record that can't be read, or names what isn't there, holds the work on "
        "every part that leans on it until it is mended.",
        "C10": "Touching an original asks for a treatment that names what is done, the options "
        "weighed (two at least) and the one chosen, what it takes off and where that is kept, or "
        "that it takes nothing, and whether it can be undone. What is done fits the option chosen "
        "and what is to become of the original: to drill or trim always takes material, and what "
        "is to be kept out of the job is traced, cleaned or consolidated at most. A treatment that "
        "builds on another waits until that is carried out; one that was carried out is done, and "
        "further work needs a treatment of its own.",
        "C11": "It asks for a decision that names the treatment, signed on the evidence of today "
        "by the owner (of a loan, the lender) and by a second person. Only refit or refit repaired "
        "allow more than tracing. A signature whose letter falls counts no longer.",
        "C12": "It asks for an answer to each hazard that the part is flagged with, by name, and "
        "for licensed people where they must deal with it. That none was found must be said.",
        "C13": "New stock is never cut at the cost of an original: what survives is kept out of "
        "the job, and a piece that is let into an original waits until that treatment is cleared.",
        "C14": "What is built provisionally is conjectural: it is cut only once the mark that will "
        "tell it from old work is planned, its words and its place.",
        "C15": "A clash of dates that somebody must mend (T11) unsettles every claim that leans on "
        "a photograph in it, or on a print of one negative with that, where the claim is of a "
        "state, or the part was not on the aircraft all her life: no cut until it is mended.",
    }
)

MEASURING: Mapping[str, str] = MappingProxyType(
    {
        "M1": "A size follows from named picks and from lengths and points of the record, never "
        "from a typed scale.",
        "M2": "No size is taken off a halftone, a paper, a place that was worked over, or another "
        "scan than the one that the picks were made on.",
        "M3": "A flipped print gives no size until a person has ruled which hand is which.",
        "M4": "Points surveyed on this airframe measure photographs of this airframe only.",
        "M5": "The error has named terms; their squares add up. What is printed after ± holds 95 "
        "times in 100.",
        "M6": "Where the picks fit worse than they should (chance below 5 %), the error is "
        "widened, never narrowed; a blunder that is left out is named; at six times too much there "
        "is no size.",
        "M7": "An error of more than 15 % of the size is no size.",
        "M8": "Beyond the limits of its method a measurement gives no size.",
        "M9": "A measurement that leans on a claim which leans on it gives no size.",
        "M10": "Two figures agree where their difference lies within its own 95 % error; what they "
        "share (a photograph, a surveyed point, a tape) can't explain a difference. Two figures "
        "off one photograph do not corroborate each other.",
        "M11": "A mock-up is laid over a photograph by the cameras of both. It gives no size: it "
        "says for each point how far the two stand apart, and whether that is more than the error "
        "explains 19 times in 20.",
        "M12": "Points that one person picked again on one photograph tell that person's own error "
        "there, all of them together; until there are enough, it is drawn towards what is expected "
        "of a pick. Of repeats the mean is measured.",
        "M13": "A photograph agrees with the metal where the worst of its surveyed points lies no "
        "farther from where all the others put it than chance explains 19 times in 20.",
    }
)

ESTIMATING: Mapping[str, str] = MappingProxyType(
    {
        "E1": "The figures of one claim stand on one axis. What is no evidence for the claim, and "
        "a measurement that is refused, gives no figure.",
        "E2": "Taken together are the figures that carry the claim's grade. Each witness counts "
        "once, prints of one negative by the best of them; measurements on one photograph count "
        "with the errors that they share. Weaker figures are set beside them, and not counted in.",
        "E3": "Together they come to the mean of least squares, with the errors that they share: "
        "what is shared (a tape, a known length, a photograph, a pick) is never averaged away. "
        "None counts for less than nothing.",
        "E4": "Where they scatter more than their errors say, the error is widened, "
        "never narrowed, and always from the single figures, never from a mean that was "
        "widened before.",
        "E5": "Three or more pieces of one row may truly differ. Their spread is then told, and "
        "the error of their mean follows from it.",
        "E6": "Figures disagree where the worst pair is farther apart than the error of their "
        "difference (a chance of 5 %, shared among the pairs), or where they scatter 1.96 times as "
        "much as their errors say. The claim is then not settled, and has no value of them "
        "together.",
        "E7": "Where figures disagree, the usual explanations are looked for in the records: "
        "another state of the aircraft, the other hand, another plane, a flipped print, a "
        "retouched one, two readings of one negative, a half for a whole. They settle nothing.",
        "E8": "A stock size is named only where the claim says of which row, where it is right 9 "
        "times in 10, and where no other size of the row lies within the error.",
        "E9": "A figure that a person chose stands beside the estimate and does not move it; where "
        "it lies outside the 95 % error, that is told.",
        "E10": "With a tolerance, it is told how often a part made to the figure lies within it of "
        "the true size, by the error held.",
    }
)
"""What several figures of one size come to."""

FALLING: Mapping[str, str] = MappingProxyType(
    {
        "I1": "A claim crosses the floor of a step: said for trial stock, seen for a cut.",
        "I2": "A claim is settled no longer, or is settled now.",
        "I3": "A size moves by more than its tolerance, or its error crosses the tolerance.",
        "I4": "A signed decision is reopened, or stands again.",
        "I5": "A step of a part goes from cleared to hold, or from hold to cleared.",
        "I6": "It was made already, and its shape, size, material or position moves.",
        "I7": "Use alone is touched: rights never change a grade.",
        "I8": "A cutting card must be recalled, or need be no longer.",
    }
)
"""What matters when findings move; all else is told, and matters to no step."""

USING: Mapping[str, str] = MappingProxyType(
    {
        "U1": "Only what is said to be allowed is allowed. Without rights, with rights that "
        "nobody knows, or with a note of which something can't be read, an item is withheld.",
        "U2": "Our own: with the reason how the rights came to be ours. Owning a print isn't "
        "owning its copyright.",
        "U3": "By permission, or by a licence for a work whose holder wasn't found: for the very "
        "uses that are granted, and for no other.",
        "U4": "A grant holds from its first day to its last.",
        "U5": "A site is seen everywhere: a grant for one territory is none for the web.",
        "U6": "A grant for one occasion ends when it is used. A site is made again and again: "
        "it is none for the web.",
        "U7": "Public domain: with the reason why.",
        "U8": "An open licence: a Creative Commons address. NC is none for promotion, ND allows "
        "no alteration, BY needs a credit line.",
        "U9": "A work whose holder wasn't found: with the record of the search, and a licence.",
        "U10": "Rights that contradict themselves allow nothing until somebody mends them.",
        "U11": "An interview asks for two papers: the narrator's consent, and a deed or licence "
        "of the recording.",
        "U12": "Consent that was taken back, to whatever extent and on whatever day, allows no "
        "use.",
        "U13": "What was made from a thing is bound by what is known to bind that thing.",
        "U14": "What is sealed is used by nobody.",
        "U15": "Cropping, and drawing on a picture, are alterations: allowed only where the "
        "rights say so. So is covering a place that is withheld.",
    }
)
"""The rules of use: what may be shown to whom. They never change a grade."""

LIFTING: Mapping[str, str] = MappingProxyType(
    {
        "L1": "A ruling on the state that a photograph shows.",
        "L2": "A ruling on the side that a region of a flipped print shows.",
        "L3": "A word on whether the thing would have shown.",
        "L4": "A figure with its error, from an item that gives none.",
        "L5": "A trial on this airframe of a sister's part or a drawing that is held.",
        "L6": "A closer look at a picture that is held: a reading made clear.",
        "L7": "A name and a date for a paper that is held.",
        "L8": "Naming the aircraft that a picture or a piece shows.",
        "L9": "An unretouched print of a picture that is held.",
        "L10": "The photograph or the negative behind a halftone.",
        "L11": "A second opinion on a source that was discredited.",
        "L12": "A tighter figure, within the tolerance.",
        "L13": "Another first-hand, dated paper.",
        "L14": "Another photograph, of an occasion of its own, that reads clear.",
        "L15": "Evidence of colour: a colour photograph, or two tones that change places.",
        "L16": "A sister's part or a maker's drawing, and its trial on this airframe.",
        "L17": "The opposite hand, or a mate, that survives.",
        "L18": "A mark that the part left, or the part itself.",
    }
)
"""What may lift a claim, the cheapest first: a ruling costs an hour, a find costs a year."""

CARDS: Mapping[str, str] = MappingProxyType(
    {
        "K1": "A card is issued for a step that is cleared, and for no other.",
        "K2": "A card leans on the claims of its part that hold for the target state, on what "
        "was decided about it, on its hazards and on its mark: as they stood when it was "
        "printed. Where all of that stands today as it did, the card is unchanged.",
        "K3": "It is recalled where any of it matters to the step: where the step is held now, a "
        "grade falls below its floor, a claim is settled no longer or is not there, a size moves "
        "by more than its tolerance or is held no longer to it, or a decision is reopened.",
        "K4": "The words of a claim that a shape, a position, a material or a finish is made "
        "by, the edge that a size is set out from, or what is left over, are others than those "
        "printed.",
        "K5": "A hazard has been found that the card doesn't warn of.",
        "K6": "The aircraft is rebuilt to another state than the one printed.",
        "K7": "The job asks for a closer tolerance than the one printed.",
        "K8": "A size that nobody gave a tolerance for moves by more than the error printed, or "
        "another figure was chosen to make it to.",
        "K9": "The mark that tells the new part from old work is another.",
        "K10": "What the register says of the card isn't what was printed, or can't be read.",
        "K11": "A later issue took its place, or the card was withdrawn.",
        "K12": "A piece was made from it, or an original worked on by it, already: look at that "
        "again. A piece is held to the issue that it was made from, though a later one took its "
        "place, until it is held against a later one or scrapped.",
        "K13": "The sheet of an earlier issue is fetched back where any of its lines matters now, "
        "until its return is noted or the card is withdrawn.",
        "K14": "What is to be done to an original, or what was signed for it, is not what was "
        "printed; or the treatment isn't there any more.",
    }
)
"""The rules of cutting cards: when one is issued, and what recalls it."""

SUPPOSITIONS: Mapping[str, str] = MappingProxyType(
    {
        "discredited": "It is found to be false, or not to be trusted.",
        "consent-withdrawn": "Consent is taken back for all use.",
        "flipped": "It is found to be printed the wrong way round.",
        "sister": "It is found to be of a sister.",
        "unknown-airframe": "Nobody knows which aircraft it is of.",
        "rights-revoked": "Permission to use it is taken back.",
        "gone": "The record is not there.",
        "same-as": "It is found to come from one negative with another.",
        "redated": "It is dated otherwise.",
    }
)
"""What can be supposed of a record, each with its sentence."""
