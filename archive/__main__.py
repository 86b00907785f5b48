"""`python -m archive` is the `witnessmark` command."""

from archive.cli.main import main

main()
