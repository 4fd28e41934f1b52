"""Exact quantities: lengths, angles, masses and plain numbers, and how the shop writes them."""

from plandoc.quantity.amount import ANGLE, AREA, LENGTH, MASS, PLAIN, Dimension, dimension_name
from plandoc.quantity.lengths import CM, FOOT, INCH, METRE, MM, read_length
from plandoc.quantity.shoptext import (
    ShopNumber,
    Units,
    bought_number,
    bracketed,
    diameter_text,
    dual_diameter,
    dual_text,
    shop_number,
    shop_text,
    unmarked,
)

__all__ = [
    "ANGLE",
    "AREA",
    "CM",
    "FOOT",
    "INCH",
    "LENGTH",
    "MASS",
    "METRE",
    "MM",
    "PLAIN",
    "Dimension",
    "ShopNumber",
    "Units",
    "bought_number",
    "bracketed",
    "diameter_text",
    "dimension_name",
    "dual_diameter",
    "dual_text",
    "read_length",
    "shop_number",
    "shop_text",
    "unmarked",
]
