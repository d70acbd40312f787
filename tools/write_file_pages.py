"""Write what is made from the layouts of a workshop's files: their JSON Schemas and their pages.

Run it after a change in src/flatstock/workshop/data/layouts; a test fails until then.
"""

from __future__ import annotations

import json
from pathlib import Path

from flatstock.workshop.layouts import NAMES
from flatstock.workshop.pages import page
from flatstock.workshop.schema import schema

ROOT = Path(__file__).resolve().parent.parent

for name in NAMES:
    text = json.dumps(schema(name), indent=1, ensure_ascii=False) + "\n"
    (ROOT / "src/flatstock/workshop/schemas" / f"{name}.json").write_text(text, "utf-8")
    (ROOT / "docs/files" / f"{name}.md").write_text(page(name), "utf-8")
    print(name)
