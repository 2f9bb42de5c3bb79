"""The JSON Schema of a job file, published as `resources/loomjob.schema.json`.

`python -m core.files.schema` writes the published file anew.
"""

from __future__ import annotations

import json
from pathlib import Path

from core.files.atomic import write_whole
from core.job.document import FORMAT, Job
from core.paths import resources_folder

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema_path() -> Path:
    return resources_folder() / "loomjob.schema.json"


def schema_bytes() -> bytes:
    """The schema as it is published: JSON Schema 2020-12. What only a whole job shows is not in it."""
    schema = Job.model_json_schema(mode="validation")
    schema = {"$schema": _DIALECT, **schema, "title": f"Loomwright job file, format {FORMAT}"}
    schema["required"] = ["format"]
    for model in schema["$defs"].values():
        # The kind tells the internals apart, so a file always says it. The models know it.
        if "const" in model.get("properties", {}).get("kind", {}):
            model["required"] = sorted({"kind", *model.get("required", ())})
    return (json.dumps(schema, indent=2, sort_keys=True, ensure_ascii=False) + "\n").encode()


if __name__ == "__main__":
    write_whole(schema_path(), schema_bytes())
