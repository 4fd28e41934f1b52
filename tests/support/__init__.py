"""Hand-made models that several rooms test against."""
