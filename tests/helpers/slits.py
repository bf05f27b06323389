"""The 3D results on slit sleeves as rows with names: source and meaning stand in data/slits_3d.json itself.

Source of every figure: 3D linear-elastic study, values in this repository.
"""

import json
from pathlib import Path

TABLES = json.loads((Path(__file__).parents[1] / "data" / "slits_3d.json").read_text())
SOURCE = TABLES["source"]


def rows(name: str, columns: str = "columns", values: str = "rows") -> list[dict]:
    """The rows of a table, each as {column: value}."""
    table = TABLES[name]
    return [dict(zip(table[columns], row, strict=True)) for row in table[values]]


def row_id(row: dict) -> str:
    """Short name of a row for a test's id: its geometry."""
    keys = ("case", "pattern", "n", "r", "t", "L", "w", "slot_share", "wall_base", "wall_nose", "c", "s")
    return "-".join(
        f"{key}{row[key]:g}" if isinstance(row[key], float) else str(row[key]) for key in keys if key in row
    )
