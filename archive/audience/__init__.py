"""Decides what a reader may be shown; what it leaves out can't be had further on."""
