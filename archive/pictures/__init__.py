"""Carries out the view's picture orders: reduced sizes, tiles for zooming, covered regions.

No picture is opened here: `imaging` does that in its child. A page gets file names that change
with their content, so that a reader's browser never shows a stale one.
"""
