// Every script of the pages can be loaded: it parses, imports each name once, and what it imports is there.
// One that cannot would leave the page dead, the join form included.

import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import { test } from "node:test";

const ROOT = new URL("../../static/js/", import.meta.url).pathname;
const files = readdirSync(ROOT, { recursive: true }).filter((file) => file.endsWith(".js"));
const sources = new Map(files.map((file) => [file, readFileSync(join(ROOT, file), "utf8")]));

const IMPORT = /^import\s+(?:\{([^}]*)\}\s+from\s+)?"(\.[^"]+)";/gm;
const EXPORT = /^export\s+(?:async\s+)?(?:function\*?|const|let|class)\s+(\w+)/gm;

const names = (list = "") => list.split(",").map((name) => name.trim()).filter(Boolean);
const exported = (file) => [...sources.get(file).matchAll(EXPORT)].map((found) => found[1]);

for (const [file, source] of sources) {
  test(`${file} can be loaded`, () => {
    const seen = new Set();
    for (const [, list, from] of source.matchAll(IMPORT)) {
      const target = normalize(join(dirname(file), from));
      assert.ok(sources.has(target), `${from} is not there`);
      for (const name of names(list)) {
        const [there, here = there] = name.split(/\s+as\s+/);
        assert.ok(exported(target).includes(there), `${target} has no ${there}`);
        assert.ok(!seen.has(here), `${here} is imported twice`);
        seen.add(here);
      }
    }
  });
}
