"""The restoration report: the record as one document, in plain values for a template to set."""
