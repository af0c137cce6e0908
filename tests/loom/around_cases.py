"""Slips in what lies around the loom: clips, warmed plugs, fuses."""

from __future__ import annotations

from .slip import Case

AROUND_GRAVE = (
    Case(
        "clip beyond its branch",
        {"fixings": ("CLIP1,clip,B1,450", "CLIP1,clip,B1,950")},
        ("fixings", 2, "at_mm"),
        '"950" mm is beyond the end of branch "B1"',
    ),
    Case(
        "grommet on no branch",
        {"fixings": ("grommet,B1", "grommet,B7")},
        ("fixings", 3, "branch"),
        'there is no branch "B7"',
    ),
    Case(
        "clip twice",
        {"fixings": ("GROM1,grommet", "CLIP1,grommet")},
        ("fixings", 3, "fixing"),
        '"CLIP1" is there twice, first in row 2',
    ),
    Case(
        "boot on and off in one run",
        {"warmings": ("H1,T1,on,30", "H1,T1,off,30")},
        ("warmings", 3, "boot"),
        '"off" differs from "on" in row 2 of the same run "H1"',
    ),
    Case(
        "one moment twice",
        {"warmings": ("H1,T1,on,60", "H1,T1,on,30")},
        ("warmings", 4, "seconds"),
        '"30" s stands in row 3 of run "H1" already',
    ),
    Case(
        "rating on a resistor",
        {
            "elements": (
                "pull_up_v\nIN1,ECU,1,4,input,,,,1000,5\n",
                "pull_up_v,fuse_a\nIN1,ECU,1,4,input,,,,1000,5,8\n",
            )
        },
        ("elements", 2, "fuse_a"),
        '"IN1" is of kind input, and a fuse is a link',
    ),
)

AROUND_LIGHT = (
    Case(
        "plug hotter than its air",
        {"warmings": ("60,50,120", "60,50,45")},
        ("warmings", 4, "temperature_c"),
        '"50" °C is more than the air of 45 °C',
        warning=True,
    ),
    Case(
        "type of a fuse without its rating",
        {
            "elements": (
                "pull_up_v\nIN1,ECU,1,4,input,,,,1000,5\n",
                "pull_up_v,fuse_type\nIN1,ECU,1,4,input,,,,1000,5,C\n",
            )
        },
        ("elements", 2, "fuse_type"),
        'fuse "IN1" has a type and no rating',
        warning=True,
    ),
)
