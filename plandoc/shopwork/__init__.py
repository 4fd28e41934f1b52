"""What the shop has to do: operations, procedure, step states, safety notes and lists, all from the model."""
