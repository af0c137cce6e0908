"""What was really done at the car: the steps of the work, and pictures pinned to its items."""

from __future__ import annotations

from loomwright.loom.schema.columns import Column, Table, named, positive

WHOLE_LOOM = "loom"
"""The name of the whole loom where an item is asked for, and what a new loom is a cure of."""

TASKS = Table(
    "tasks",
    "What was really done, a row per step; where a step has several rows the last one stands.",
    (
        named("task", "The row's own name", "D1"),
        Column(
            "item",
            "identifier",
            f"Plug, wire, joint, device, branch or `{WHOLE_LOOM}`; blank is the whole job",
            example="T1",
        ),
        Column(
            "step",
            "text",
            "Name of the step, as the plan calls it",
            required=True,
            example="record",
        ),
        Column(
            "nth",
            "integer",
            "Which of the steps of that name at this item",
            minimum=1,
            maximum=1000,
            default=1,
            example="1",
        ),
        Column(
            "state",
            "choice",
            "How far it is; a hold point is passed or failed",
            required=True,
            choices=("begun", "done", "passed", "failed"),
            example="done",
        ),
        Column("begun_at", "text", "When it was begun", example="2026-05-15 09:10"),
        Column("done_at", "text", "When it was done, passed or failed", example="2026-05-15 09:25"),
        positive("minutes", "min", "Work it took", maximum=100000, example="15"),
        Column("by", "text", "Who did it", example="first bench"),
        Column("note", "text", "Anything seen", example="both sides photographed"),
    ),
    key="task",
)
PHOTOS = Table(
    "photos",
    "Pictures pinned to an item; the files lie in the folder `photos` of the job.",
    (
        Column(
            "photo",
            "text",
            "File name in that folder, without a path",
            required=True,
            example="t1-torn-boot.jpg",
        ),
        Column(
            "item",
            "identifier",
            "Plug, wire, joint or device it shows; blank is the whole job",
            refers_to=("plugs", "wires", "joints", "devices"),
            example="T1",
        ),
        Column(
            "face",
            "choice",
            "Side of a plug it shows; blank where it is neither",
            choices=("mating", "wire"),
            example="mating",
        ),
        Column("taken_at", "text", "When it was taken", example="2026-05-14 10:05"),
        Column("by", "text", "Who took it", example="first bench"),
        Column("note", "text", "What is to be seen", example="boot torn along the back"),
    ),
    key="photo",
)
