"""The only opener of images, in a limited child process: plain facts and reduced pictures come out.

The parent's side is `catalogue` (facts of many files), `worker` (the child processes), `recipes`,
`limits` and `refusals`; `child` and what it imports (`decode`, `tones`, `facts`, `regions`,
`derive`) run in the child alone, so that a hostile file can only hurt the child. Nothing is
imported here: each child would pay for it at its start.
"""
