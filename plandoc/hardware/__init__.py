"""One file per kind of bought hardware: its sizes and what fitting it does to the parts."""
