"""Type, tables and tags of the PDFs, shared by every app that prints."""
