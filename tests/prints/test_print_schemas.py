"""The published schemas, held against documents as they are really written."""

import pytest
from jsonschema import Draft202012Validator

from flatstock import schemas


def faults(name, document):
    return [error.message for error in Draft202012Validator(schemas.load(name)).iter_errors(document)]


def test_there_is_a_schema_for_each_document_that_is_printed():
    assert schemas.NAMES == (
        "card",
        "correct",
        "frame",
        "new",
        "outlay",
        "plan",
        "promise",
        "read",
        "refusal",
        "room",
        "stack",
        "supply",
        "wallchart",
    )


@pytest.mark.parametrize("name", schemas.NAMES)
def test_a_schema_is_itself_valid_and_names_its_format(name):
    schema = schemas.load(name)
    Draft202012Validator.check_schema(schema)
    assert schema["properties"]["format"] == {"const": f"flatstock.{name}/1"}


@pytest.mark.parametrize("name", schemas.NAMES)
def test_the_sample_is_accepted(name, sample):
    assert faults(name, sample(name)) == []


@pytest.mark.parametrize("name", schemas.NAMES)
def test_no_required_field_can_be_left_out(name, sample):
    document = sample(name)
    for field in schemas.load(name)["required"]:
        less = {key: value for key, value in document.items() if key != field}
        assert faults(name, less) == [f"'{field}' is a required property"]


@pytest.mark.parametrize("name", schemas.NAMES)
def test_fields_may_be_added(name, sample):
    assert faults(name, sample(name) | {"later_mm": 3}) == []


@pytest.mark.parametrize(
    ("field", "wrong"),
    [
        ("charge_kg", "11.74"),
        ("charge_kg", {"value": 11.74}),
        ("charge_kg", {"value": 11.74, "low": 11.7, "high": 11.8, "kind": "guess", "source": "x"}),
        ("thickness_mm", -12),
        ("press_cool_min", [9, 24]),
        ("steps", [{"at_min": 0, "do": "load"}]),
        ("cautions", [{"text": "hot"}]),
    ],
)
def test_a_card_with_a_wrong_field_is_refused(field, wrong, sample):
    assert faults("card", sample("card") | {field: wrong})


def test_unknown_numbers_of_a_card_may_be_null_but_its_set_point_may_not(sample):
    assert faults("card", sample("card") | {"flash_kg": None, "dwell_latest_min": None}) == []
    assert faults("card", sample("card") | {"set_point_C": None})


def test_every_field_with_a_dimension_carries_its_unit():
    units = ("_mm", "_kg", "_C", "_min", "_MPa", "_bar", "_kWh", "_K", "_s", "_kN", "_kPas", "_percent")
    dimensionless = {"version"}
    for name in ("card", "stack", "wallchart", "correct"):
        for field, rule in schemas.load(name)["properties"].items():
            is_number = (
                rule.get("type") in ("number", ["number", "null"]) or rule.get("$ref") == "#/$defs/number"
            )
            if is_number and field not in dimensionless and field != "energy_error":
                assert field.endswith(units), f"{name}.{field}"


def test_a_schema_that_does_not_exist_is_named_with_those_that_do():
    with pytest.raises(KeyError, match="no schema 'cutplan'; there are card, correct"):
        schemas.load("cutplan")
