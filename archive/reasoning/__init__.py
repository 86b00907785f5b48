"""Pure judgement: records go in, findings come out; no disk, no clock, no network, no chance."""
