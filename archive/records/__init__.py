"""The nouns: every kind of record, frozen, and the one schema that says which fields it has."""
