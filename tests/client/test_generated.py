"""The generated code: in step with the contract, documented, and of the types that a type checker can check."""

from __future__ import annotations

import ast
import dataclasses
import importlib
import json
import pkgutil
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from generate.contract import read_contract
from generate.files import GENERATED, generated_files
from generate.names import ALSO_TAKES, SENT_AGAIN, class_names
from kettlewright_client import Client, ClientError, results
from kettlewright_client.client import Methods
from kettlewright_client.generated.async_methods import AsyncMethods

ROOT = Path(__file__).parents[2]
FILES = generated_files(ROOT / "openapi.yaml")
CONTRACT = read_contract(ROOT / "openapi.yaml")


def test_it_is_in_step_with_the_contract() -> None:
    folder = ROOT / GENERATED
    there = {str(file.relative_to(folder)): file.read_text(encoding="utf-8")
             for file in [*folder.rglob("*.py"), *folder.rglob("*.json")]}
    assert there.keys() == FILES.keys(), "run make contract"
    for name, text in FILES.items():
        assert there[name] == text, f"{name} is stale: run make contract"
        assert "do not edit" in text or name.endswith(".json")


def classes() -> Iterator[tuple[str, ast.ClassDef]]:
    for name, text in FILES.items():
        if name == "inputs.py" or name.startswith("results/"):
            yield from ((name, node) for node in ast.parse(text).body if isinstance(node, ast.ClassDef))


def test_every_class_and_every_field_has_a_docstring() -> None:
    fields = 0
    for name, node in classes():
        assert ast.get_docstring(node), (name, node.name)
        for one, after in zip(node.body, [*node.body[1:], None], strict=True):
            if isinstance(one, ast.AnnAssign):
                fields += 1
                assert isinstance(after, ast.Expr), (node.name, ast.unparse(one))
                assert isinstance(after.value, ast.Constant), (node.name, ast.unparse(one))
                assert re.search(r"\w", str(after.value.value)), (node.name, ast.unparse(one))
    assert fields > 1200


def test_every_number_has_its_unit() -> None:
    for name, node in classes():
        text = ast.unparse(node)
        numbers = re.findall(r"    (\w+): [^\n]*\b(?:float|Number)\b[^\n]*\n    (['\"][^\n]*(?:\n    [^\n]+)*)", text)
        for field, said in numbers:
            assert "Unit:" in said, (name, node.name, field)


def test_fields_whose_unit_depends_on_the_request_say_so() -> None:
    lye = FILES["results/lye.py"]
    assert '    weigh: float\n    """On the scale. Unit: `units.mass`, g if not set."""\n' in lye
    # the bounds of the contract: superfat 0 to 50 %
    assert re.search(r"superfat_pct: NotRequired\[Number\]\n    \"\"\"[^\"]*Unit: %\. 0 to 50\.", FILES["inputs.py"])


def test_results_have_the_fields_of_the_contract() -> None:
    names = class_names(CONTRACT.components)
    assert len(set(names.values())) == len(names)
    made = set()
    for component, name in names.items():
        if name in results.__all__:
            made.add(name)
            kind: Any = getattr(results, name)
            assert kind.__name__ == name
            known = {one.name: one for one in dataclasses.fields(kind) if one.name not in ("raw", "request_id")}
            assert known.keys() == {one.name for one in CONTRACT.fields_of(component)}
            for field in CONTRACT.fields_of(component):
                has_default = known[field.name].default is not dataclasses.MISSING
                assert has_default is not field.required, (name, field.name)
    assert made == set(results.__all__)


def test_what_is_sent_again_has_no_field_that_the_request_lacks() -> None:
    def check(reply: str, request: str) -> None:
        fields = {one.name: one for one in CONTRACT.fields_of(request)}
        for field in CONTRACT.fields_of(reply):
            assert field.name in fields, (reply, field.name)
            inner = (field.kind.items or field.kind).ref
            if inner:
                other = fields[field.name].kind
                check(inner, (other.items or other).ref)
    for reply, request in [*SENT_AGAIN.items(), *((reply, request) for request, reply in ALSO_TAKES.items())]:
        check(reply, request)


@pytest.mark.parametrize("methods", [Methods, AsyncMethods])
def test_every_method_says_what_each_argument_means(methods: type) -> None:
    for operation in CONTRACT.operations:
        said = getattr(methods, operation.name).__doc__
        fields = CONTRACT.fields_of(operation.request) if operation.request else operation.address
        for field in fields:
            assert re.search(rf"\n +{field.name} : [^\n]+\n +\S", said), (operation.name, field.name)


def test_both_clients_have_the_same_methods() -> None:
    assert [name for name in vars(Methods) if not name.startswith("_")] == [
        name for name in vars(AsyncMethods) if not name.startswith("_")]


def test_an_unknown_result_is_no_attribute() -> None:
    with pytest.raises(AttributeError, match="Soup"):
        _ = results.Soup
    with pytest.raises(ClientError, match='Did you mean "lye"'):
        Client().form("lyee", "html", {})


def test_the_generator_reads_the_contract_and_nothing_of_the_service() -> None:
    for found in pkgutil.iter_modules(importlib.import_module("generate").__path__):
        source = (ROOT / "client" / "generate" / f"{found.name}.py").read_text(encoding="utf-8")
        assert not re.search(r"^\s*(?:from|import) kettlewright", source, re.MULTILINE), found.name


def test_the_requests_are_those_of_the_contract() -> None:
    requests = json.loads(FILES["requests.json"])
    assert requests["operations"] == {one.name: one.request for one in CONTRACT.operations if one.request}
    for name, schema in requests["components"]["schemas"].items():
        whole = CONTRACT.schemas[name]
        assert schema.get("required") == whole.get("required")
        assert schema.get("properties", {}).keys() == whole.get("properties", {}).keys()
        assert schema.get("oneOf", []) == whole.get("oneOf", [])
