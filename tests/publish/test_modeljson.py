"""The model as JSON: valid by its schema, exact, complete."""

import json
from dataclasses import replace
from fractions import Fraction

import jsonschema
import pytest

from plandoc.geometry.bodies import UP, Box, Disc, Face, Loop, Prism
from plandoc.model.entities import (
    Assembly,
    Fastening,
    Feature,
    Figure,
    Fitting,
    HardwareItem,
    Joint,
    Model,
    Motion,
    Part,
    PlanInfo,
    Revision,
    SectionWish,
    Step,
    Stock,
)
from plandoc.publish.modeljson import model_data, model_json, model_schema
from plandoc.quantity import Units

F = Fraction


def point(*xyz):
    return (F(xyz[0]), F(xyz[1]), F(xyz[2]))


OAK = Stock("oak", "lumber", F("25.4"), F(19), material="oak", rough=F("25.4"), boards=((F(150), F(2400)),), price=F(7, 2))
BOX = Box(point(0, 0, 0), (F("533.4"), F(1600, 3), F(19)))
CUT = Prism(UP, F(10), F(19), Disc((F(50), F(60)), F("6.35")))
LOOP = Prism(UP, F(0), F(19), Loop(((F(0), F(0)), (F(9), F(0)), (F(9), F(9))), (F(0), F(1, 3), F(0))))
HOLE = Feature(
    "shelf.hole1", "hole", Face(UP, 1), cuts=(CUT, LOOP), figures=(Figure(0, F(0), F(50), "place", -1),),
    diameter=F("12.7"), depth=F(9), centre=point(50, 60, 19),
)  # fmt: skip
SHELF = Part("shelf", "shelf", OAK, BOX, BOX, 0, 1, 2, features=(HOLE,), mark="A")
JOINT = Joint(
    "j1", "dado", "shelf", "side", Face(0, -1), Face(0, 1), F(9), F(10), F(19), F(0), F(1), 1, 2, BOX,
    fasteners=(Fastening("dowel", "pin", F(8), F(40), (point(1, 2, 3),), 0),),
)  # fmt: skip
MODEL = Model(
    PlanInfo("Wall shelf – oak", revisions=(Revision("A", "2026-03-04", "first"),), notes=("Sand to 180.",)),
    stocks=(OAK,), parts=(SHELF,), joints=(JOINT,),
    hardware=(HardwareItem("pin", "dowel", "beech dowel", sizes=(("long", F(40)),), load_kg=F(5, 2)),),
    fittings=(Fitting("f1", "pin", ("shelf",), 2, box=BOX, points=(point(0, 1, 2),)),),
    motions=(Motion("shelf", Face(1, -1), F(300)),), sections=(SectionWish(0, F(100), Face(0, -1)),),
    steps=(Step(1, "Cut", cuts=("shelf",), texts=("Saw to length.",)),),
    assemblies=(Assembly("", "Wall shelf", ("shelf",), ()),), values=(("depth", '12"'),), source_digest="abc",
)  # fmt: skip


def valid(text):
    jsonschema.Draft202012Validator(model_schema()).validate(json.loads(text))


def test_a_second_unit_stands_only_where_the_plan_has_one():
    two = replace(MODEL, info=replace(MODEL.info, units=Units("inch", F(1, 32), Units("mm", F(1, 2)))))
    valid(model_json(two))
    units = json.loads(model_json(two))["plan"]["units"]
    assert units == {"system": "inch", "step": "0.03125", "second": {"system": "mm", "step": "0.5"}}
    assert json.loads(model_json(MODEL))["plan"]["units"] == {"system": "inch", "step": "0.03125"}


def test_the_schema_is_itself_valid_and_explains_everything():
    schema = model_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    for name, definition in {"": schema, **schema["$defs"]}.items():
        assert definition["description"], name
        for field, form in definition.get("properties", {}).items():
            assert form.get("description") or "const" in form or "enum" in form, (name, field)


def test_a_model_is_valid():
    valid(model_json(MODEL))
    valid(model_json(Model(PlanInfo("Empty"))))


def test_lengths_are_exact():
    data = json.loads(model_json(MODEL))
    (part,) = data["parts"]
    assert part["box"]["hi"] == ["533.4", "1600/3", "19"]
    assert [Fraction(part[name]) for name in ("length", "width", "thickness")] == [F("533.4"), F(1600, 3), F(19)]
    assert part["features"][0]["cuts"][0] == {
        "axis": "up", "lo": "10", "hi": "19", "outline": {"form": "circle", "centre": ["50", "60"], "radius": "6.35"},
    }  # fmt: skip
    assert part["features"][0]["face"] == "top" and part["datum"] == ["left", "front", "bottom"]
    assert data["box"]["hi"] == part["box"]["hi"]


def test_everything_of_the_model_is_there():
    data = model_data(MODEL)
    for name in ("stocks", "parts", "joints", "hardware", "fittings", "motions", "sections", "steps", "assemblies", "values"):
        assert len(data[name]) == 1, name
    assert data["plan"]["revisions"] == [{"index": "A", "date": "2026-03-04", "text": "first"}]


def test_shop_work_may_be_added():
    text = model_json(MODEL, setups=({"machine": "table saw", "fence": F(1, 3)},), layouts=())
    valid(text)
    assert json.loads(text)["setups"] == [{"machine": "table saw", "fence": "1/3"}]
    assert "setups" not in json.loads(model_json(MODEL))


@pytest.mark.parametrize(
    "harm",
    [
        lambda data: data["parts"][0].update(length=533.4),
        lambda data: data["parts"][0].update(length="0.50"),
        lambda data: data["parts"][0].pop("box"),
        lambda data: data.update(more=1),
        lambda data: data["joints"][0].update(face="underside"),
    ],
)
def test_the_schema_finds_faults(harm):
    data = json.loads(model_json(MODEL))
    harm(data)
    with pytest.raises(jsonschema.ValidationError):
        valid(json.dumps(data))


def test_umlauts_stay_readable_and_the_text_is_stable():
    assert "Wall shelf – oak" in model_json(MODEL)
    assert model_json(MODEL) == model_json(MODEL) and model_json(MODEL).endswith("}\n")
