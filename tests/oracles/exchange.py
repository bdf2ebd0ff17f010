"""Copies in open standards, read by libraries from the registry that nobody here wrote.

One JSON object a line in, one out: {"errors": [...], ...}. {"ask": "csv", "folder"} (csv of the standard library, csvw),
{"ask": "zip", "file"} (zipfile of the standard library), {"ask": "geojson", "text"} (geojson-pydantic).
"""

import csv
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


ANSWERS = {"csv": tables, "zip": packed, "geojson": places}
for line in sys.stdin:
    asked = json.loads(line)
    print(json.dumps(ANSWERS[asked["ask"]](asked)))
