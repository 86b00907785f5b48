"""Measuring on pictures: arrays in, arrays out, an error for every figure or a reason for none.

Pixels run right and down from the top left corner of the picture, lengths are in the unit of the
known coordinates (millimetres where the caller says so), angles in radians unless a name says
`deg`. A label is the caller's own word for a source of error and is only ever compared and grouped.
"""
