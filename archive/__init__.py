"""Witnessmark keeps the evidence for rebuilding an aircraft, weighs it, and says what may be built.

core        values that all stages share: places and problems, lengths, dates, findings
records     the nouns, frozen, and the one schema that says which fields they have
metrology   measuring from photographs: arrays in, arrays out
imaging     the only opener of image files
read        the only reader of a content folder
write       the only writer of a content folder
reasoning   pure judgement: witnesses, grades, decisions, clearance
pipeline    the whole story on one screen
audience    decides who may be shown what
pictures    sizes and tiles of the pictures that an audience may see
search      one list of documents for the command and for the page
site        pages made from findings; computes nothing
publish     stages a site and switches it in
cli         the commands; the only printer
"""

__version__ = "0.1.0"
