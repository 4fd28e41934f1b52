"""From solids to display lists in paper millimetres."""
