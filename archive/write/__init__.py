"""The only stage that writes content/: whole files, in one step, and only when told to."""
