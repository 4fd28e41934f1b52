"""Figures and words of the trade with their sources: operations, machines, cautions, materials, screws, lumber.

The files in data/ are read at first use. Nothing here knows about plans or models.
"""

from plandoc.tables.fasteners import Screw, head_of, screw, screw_by_shank, screws, shank_and_lead
from plandoc.tables.lumber import (
    board_feet,
    dressed_section,
    dressed_thickness,
    dressed_width,
    nominal_inches,
    rough_thickness,
)
from plandoc.tables.materials import Material, density, material, materials
from plandoc.tables.words import HEAD_ANGLE, is_raised_head, is_softwood, plugs
from plandoc.tables.work import (
    Caution,
    Machine,
    TradeOperation,
    caution_name,
    caution_words,
    machine,
    machine_named,
    machines,
    named_caution,
    operation,
    operation_of_feature,
    operation_of_hardware,
    trade_operations,
)

__all__ = [
    "HEAD_ANGLE",
    "Caution",
    "Machine",
    "Material",
    "Screw",
    "TradeOperation",
    "board_feet",
    "caution_name",
    "caution_words",
    "density",
    "dressed_section",
    "dressed_thickness",
    "dressed_width",
    "head_of",
    "is_raised_head",
    "is_softwood",
    "machine",
    "machine_named",
    "machines",
    "material",
    "materials",
    "named_caution",
    "nominal_inches",
    "operation",
    "operation_of_feature",
    "operation_of_hardware",
    "plugs",
    "rough_thickness",
    "screw",
    "screw_by_shank",
    "screws",
    "shank_and_lead",
    "trade_operations",
]
