"""The command line: one file per command, no knowledge of wood."""
