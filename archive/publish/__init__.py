"""Stages a site and switches it in, so that a reader finds the old one or the new one, whole."""
