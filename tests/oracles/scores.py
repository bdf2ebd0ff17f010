"""Scores one JSON object a line, by a library from the registry that nobody here wrote.

Runs as a process of its own in a virtual environment that tests/run makes; the library (clincalc, AGPL) is never
linked into the program. In: {"calculator": "news2" | "gcs", "inputs": {...}}. Out: {"result": ..., "band": ...}.
"""

import json
import sys

import clincalc

for line in sys.stdin:
    asked = json.loads(line)
    answer = clincalc.calculate(asked["calculator"], asked["inputs"])
    print(json.dumps({"result": answer["result"], "working": answer["working"]}))
