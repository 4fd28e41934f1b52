"""Cutting layouts: parts on sheets, lengths from bars, pieces from boards; it knows no plan and draws nothing."""
