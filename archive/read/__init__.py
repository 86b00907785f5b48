"""The only reader of a content folder; it never raises on what a person wrote."""
