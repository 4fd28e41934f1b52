"""Paths of a router bit over one face of a board: pure geometry, knows no plan."""
