"""One list of documents, searched alike by the command and by the page."""
