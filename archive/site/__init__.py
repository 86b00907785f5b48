"""The pages of the offline site: from a view to plain values, and from those to HTML."""
