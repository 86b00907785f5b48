"""Values that every stage shares: places and problems, lengths, dates, findings, image facts."""
