"""A small job without a single problem or warning, as CSV text; all of it is invented."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from loomwright.loom import Job, Readout, Sheet, read_sheets

TABLES: dict[str, str] = {
    "job": "title,vehicle,opened_on\nSmall job,Invented tourer 1974,2026-05-14\n",
    "plugs": """plug,label,face,seen_from,mates_with,place,lock
CU,Control unit plug,1 2 3 4 / 5 6 . .,mating,ECU,bulkhead,tongue
T1,Engine sensor plug,1 2,wire,NTC1,engine,tongue
T2,Throttle switch plug,1 2,mating,TS,engine,moulded
X1,Loom half,1 2,mating,X2,bulkhead,
X2,Body half,1 2,mating,X1,bulkhead,
""",
    "joints": """joint,kind,place,label
E1,earth,engine,Earth on the engine
S1,splice,engine,Splice in the sensor earths
BP,battery_plus,bulkhead,Battery post
""",
    "wires": """wire,from,to,colour,section_mm2,strands,strand_mm,length_mm,branches
W1,CU.1,T1.1,BN/WH,0.75,24,0.20,1200,B1
W2,T1.2,S1,BN,0.75,24,0.20,150,
W3,S1,E1,BN,1.5,30,0.25,400,
W4,CU.2,T2.1,GN,0.75,24,0.20,1300,B1
W5,T2.2,S1,BN,0.75,24,0.20,200,
W6,BP,X2.1,RD,1.5,30,0.25,500,
W7,X1.1,CU.3,RD,1.5,30,0.25,300,
W8,CU.4,E1,BN,1.5,30,0.25,900,B1
""",
    "devices": """device,label,place,zone,temperature
ECU,Control unit,bulkhead,CABIN,ambient
NTC1,Engine sensor,engine,ENGINE,engine
TS,Throttle switch,engine,ENGINE,engine
""",
    "elements": """element,device,from_pin,to_pin,kind,ohm,curve,closed_when,pull_up_ohm,pull_up_v
IN1,ECU,1,4,input,,,,1000,5
IN2,ECU,2,4,input,,,,1000,5
SUP,ECU,3,4,resistor,50,,,,
TH1,NTC1,1,2,thermistor,,NTC,,,
SW1,TS,1,2,contact,,,throttle=shut,,
""",
    "curves": """curve,temperature_c,ohm,tolerance_pct
NTC,-10,9000,10
NTC,20,2500,10
NTC,80,330,10
""",
    "meters": """meter,quantity,full_scale,percent,counts,resolution,leads_ohm
DMM,ohm,400,0.8,3,0.1,0.2
DMM,ohm,4000,0.8,3,1,0.2
DMM,volt,40,0.5,2,0.01,
""",
    "readings": """reading,quantity,plus,minus,unplugged,state,value,meter,taken_at,note
R1,ohm,CU.1,CU.4,CU,key=off; engine_c=18,2710,DMM,2026-05-14 10:20,
R2,ohm,CU.2,CU.4,CU,key=off; throttle=open,OL,DMM,,
R3,volt,ECU.3,E1,,key=on,12.1,DMM,,from the back of the plug
""",
    "proof": """reading,quantity,plus,minus,unplugged,state,value,meter,taken_at,note
R1,ohm,CU.1,CU.4,CU,key=off; engine_c=18,2690,,2026-05-15 10:20,terminals cleaned
""",
    "survey": """item,aspect,grade,strands_left,note,photo
T1,boot,3,,cracked,t1.jpg
W1,strands,2,20,,
""",
    "branches": """branch,from_place,to_place,length_mm,zone,cover
B1,bulkhead,engine,900,ENGINE,vinyl tube
""",
    "fixings": """fixing,kind,branch,at_mm,bore_mm,note
CLIP1,clip,B1,450,12,
GROM1,grommet,B1,40,14,rubber hard
""",
    "zones": """zone,running_c,soak_c,hours_per_year,soak_share
ENGINE,95,115,150,0.1
CABIN,30,45,150,0.1
""",
    "fuelling": """curve,temperature_c,factor
NTC,-10,1.9
NTC,20,1.3
NTC,80,1
""",
    "settings": """name,value,note
lead_resistance,0.15,own meter
""",
    "catalogue": """part,kind,label,section_min_mm2,section_max_mm2,bore_mm,bore_max_mm,die
REC,terminal,Flat receptacle,0.5,1,,,NEST
BOOT,boot,Straight boot,,,3.5,7,
NEST,die,Small nest,0.5,1,,,
WIRE,wire,Thick-wall wire,0.75,0.75,,,
""",
    "crimps": """trial,set_up,terminal,section_mm2,die,height_mm,width_mm,pull_n,failed_at,look,note
K1,S1,flat 2.8,0.75,nest 2,1.32,1.83,118,wire,good,
K2,S1,flat 2.8,0.75,nest 2,1.33,1.83,,not pulled,good,both wings touch
K3,S2,eyelet 6,1.5,nest 4,,,,,doubtful,
""",
    "warmings": """run,plug,boot,seconds,temperature_c,air_c,note
H1,T1,on,0,23,120,
H1,T1,on,30,38,120,
H1,T1,on,60,50,120,
""",
    "suppliers": """supplier,label,postage,least_order,lead_days,currency
NEAR,Counter in town,4,,2,EUR
FAR,Parts by post,9.5,15,10,
""",
    "offers": """offer,supplier,part,pack,unit,price,colour,note
N1,NEAR,REC,10,piece,4.5,,
N2,NEAR,REC,50,piece,15,,price break
F1,FAR,WIRE,1,m,0.9,BN/WH,cut to order
""",
    "stock": """part,colour,count,unit,kept
REC,,6,piece,drawer 3
WIRE,BN,1.5,m,hook
""",
    "tasks": """task,item,step,nth,state,begun_at,done_at,minutes,by,note
D1,,battery off,1,passed,,2026-05-15 08:55,5,first bench,
D2,T1,record,1,done,2026-05-15 09:00,2026-05-15 09:10,10,,both sides
D3,loom,record,,begun,2026-05-15 09:10,,,,
""",
    "photos": """photo,item,face,taken_at,by,note
t1-torn-boot.jpg,T1,mating,2026-05-14 10:05,first bench,torn along the back
bay.jpg,,,,,
""",
}

Edits = dict[str, tuple[str, str] | None]
"""By table: a piece of its text and what takes its place; None takes the table away."""


def edited(edits: Edits) -> dict[str, str]:
    """The tables with some text replaced."""
    tables = dict(TABLES)
    for name, change in edits.items():
        if change is None:
            del tables[name]
            continue
        old, new = change
        if tables[name].count(old) != 1:
            raise ValueError(f"{old!r} does not stand in {name} exactly once")
        tables[name] = tables[name].replace(old, new)
    return tables


def sheets(tables: dict[str, str]) -> list[Sheet]:
    """The tables as sheets."""
    found = []
    for name, text in tables.items():
        header, *rows = (tuple(row) for row in csv.reader(io.StringIO(text)))
        found.append(Sheet(name, header, tuple(rows)))
    return found


def readout(edits: Edits | None = None) -> Readout:
    """The small job, read, with some text replaced."""
    return read_sheets(sheets(edited(edits or {})))


def job(edits: Edits | None = None) -> Job:
    """The small job with some text replaced."""
    return readout(edits).job


def laid_out(folder: Path, edits: Edits | None = None) -> Path:
    """The small job as a folder of CSV files."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in edited(edits or {}).items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder
