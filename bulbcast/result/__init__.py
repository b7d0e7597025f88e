"""Job to the plan.json object, part by part; `plan.py` has the whole, one file for each optional part."""

from bulbcast.result.boat import ballast_object, boat_object
from bulbcast.result.mould import dry_object
from bulbcast.result.plan import plan_object
from bulbcast.result.pour import pour_object
from bulbcast.result.values import SCHEMA_NAME, SCHEMA_NUMBER, FileRecord, Json, finding_object

__all__ = [
    "SCHEMA_NAME",
    "SCHEMA_NUMBER",
    "FileRecord",
    "Json",
    "ballast_object",
    "boat_object",
    "dry_object",
    "finding_object",
    "plan_object",
    "pour_object",
]
