"""Foreign files into proposed records: what comes in is looked at and told, and nothing written."""
