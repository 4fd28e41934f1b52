"""One file per kind of work on a single part."""
