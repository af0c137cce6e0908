"""One slip each in the small job, and the place and weight of what is said about it."""

from __future__ import annotations

from sample.jobs import Edits

from .around_cases import AROUND_GRAVE, AROUND_LIGHT
from .slip import Case

PLUGS_HEAD = """lock
CU,Control unit plug,1 2 3 4 / 5 6 . .,mating,ECU,bulkhead,tongue
T1,Engine sensor plug,1 2,wire,NTC1,engine,tongue
T2,Throttle switch plug,1 2,mating,TS,engine,moulded
"""


def keyed(sides: str) -> Edits:
    """The table `plugs` with keying in the place of the lock, on its first plug alone."""
    _, *rows = PLUGS_HEAD.splitlines()
    plain = [row.rpartition(",")[0] + "," for row in rows]
    text = "\n".join(("keying", plain[0] + sides, *plain[1:])) + "\n"
    return {"plugs": (PLUGS_HEAD, text)}


GRAVE = (
    Case(
        "wire twice",
        {"wires": ("W8,CU.4", "W1,CU.4")},
        ("wires", 9, "wire"),
        '"W1" is there twice, first in row 2',
    ),
    Case(
        "plug named as a joint",
        {"joints": ("BP,battery_plus,bulkhead,Battery post\n", "BP,battery_plus,,\nT2,stud,,\n")},
        ("joints", 5, "joint"),
        '"T2" is also the name of a plug',
    ),
    Case(
        "unknown mate",
        {"plugs": ("mating,TS", "mating,TSS")},
        ("plugs", 4, "mates_with"),
        'there is no device or plug "TSS"',
    ),
    Case(
        "unknown curve",
        {"elements": (",NTC,", ",NTX,")},
        ("elements", 5, "curve"),
        'there is no curve "NTX"',
    ),
    Case(
        "unknown meter",
        {"readings": ("OL,DMM", "OL,METER")},
        ("readings", 3, "meter"),
        'there is no meter "METER"',
    ),
    Case(
        "unplugged is no plug",
        {"readings": ("CU.4,CU,key=off; throttle", "CU.4,ECU,key=off; throttle")},
        ("readings", 3, "unplugged"),
        'there is no plug "ECU"',
    ),
    Case(
        "unknown symptom",
        {
            "job": (
                "opened_on\nSmall job,Invented tourer 1974,",
                "symptoms,opened_on\nSmall job,Invented tourer 1974,hot_starts,",
            )
        },
        ("job", 2, "symptoms"),
        '"hot_starts" is not one of the symptoms',
    ),
    Case(
        "offer of nobody",
        {"offers": ("F1,FAR", "F1,FARR")},
        ("offers", 4, "supplier"),
        'there is no supplier "FARR"',
    ),
    Case(
        "offer twice",
        {"offers": ("N2,NEAR", "N1,NEAR")},
        ("offers", 3, "offer"),
        '"N1" is there twice, first in row 2',
    ),
    Case(
        "wire by the piece",
        {"offers": ("WIRE,1,m,", "WIRE,1,,")},
        ("offers", 4, "unit"),
        'wire "WIRE" is counted by the piece',
    ),
    Case(
        "terminals by the metre",
        {"stock": ("REC,,6,piece", "REC,RD,6,m")},
        ("stock", 2, "unit"),
        'terminal "REC" is counted in metres',
    ),
    Case(
        "part of a piece",
        {"offers": ("REC,10,piece", "REC,9.5,piece")},
        ("offers", 2, "pack"),
        '"9.5" pieces are not possible',
    ),
    Case(
        "two currencies",
        {"suppliers": ("15,10,", "15,10,GBP")},
        ("suppliers", 3, "currency"),
        '"GBP" stands beside "EUR": two currencies cannot be added up',
    ),
    Case(
        "one row of work named twice",
        {"tasks": ("D2,T1", "D1,T1")},
        ("tasks", 3, "task"),
        '"D1" is there twice, first in row 2',
    ),
    Case(
        "picture of nothing",
        {"photos": ("t1-torn-boot.jpg,T1", "t1-torn-boot.jpg,B1")},
        ("photos", 2, "item"),
        'there is no plug or wire or joint or device "B1"',
    ),
    Case(
        "picture outside its folder",
        {"photos": ("bay.jpg", "photos/bay.jpg")},
        ("photos", 3, "photo"),
        '"photos/bay.jpg" is not a plain file name',
    ),
    Case(
        "key on no side",
        keyed("lefts"),
        ("plugs", 2, "keying"),
        '"lefts" is not a side of a face',
    ),
    Case(
        "a key and no key",
        keyed("top none"),
        ("plugs", 2, "keying"),
        'a key on the side "top" and on no side at once is not possible',
    ),
    Case(
        "unknown zone",
        {"branches": ("ENGINE", "ENGIN")},
        ("branches", 2, "zone"),
        'there is no zone "ENGIN"',
    ),
    Case(
        "unknown branch",
        {"wires": ("W8,CU.4,E1,BN,1.5,30,0.25,900,B1", "W8,CU.4,E1,BN,1.5,30,0.25,900,B1 B7")},
        ("wires", 9, "branches"),
        'there is no branch "B7"',
    ),
    Case(
        "survey of nothing",
        {"survey": ("T1,boot", "T9,boot")},
        ("survey", 2, "item"),
        'there is no plug or wire or joint or device "T9"',
    ),
    Case(
        "fuelling of nothing",
        {"fuelling": ("NTC,80,1\n", "NTC,80,1\nPTC,0,1\nPTC,50,1.2\n")},
        ("fuelling", 5, "curve"),
        'there is no curve "PTC"',
    ),
    Case(
        "plug somewhere else",
        {"plugs": ("Throttle switch plug,1 2,mating,TS,engine", "Switch,1 2,mating,TS,engin")},
        ("plugs", 4, "place"),
        'no branch ends at a place "engin"',
    ),
    Case(
        "branch in a ring",
        {"branches": ("vinyl tube\n", "vinyl tube\nB2,engine,engine,,,\n")},
        ("branches", 3, "to_place"),
        '"engine" is the place at both ends',
    ),
    Case(
        "wire to a plug that is not there",
        {"wires": ("CU.2,T2.1", "CU.2,T22.1")},
        ("wires", 5, "to"),
        'there is no plug "T22"',
    ),
    Case(
        "wire to a joint that is not there",
        {"wires": ("T2.2,S1", "T2.2,S2")},
        ("wires", 6, "to"),
        'there is no joint "S2"',
    ),
    Case(
        "wire to a cavity that is not there",
        {"wires": ("CU.2,T2.1", "CU.2,T2.3")},
        ("wires", 5, "to"),
        'plug "T2" has no cavity "3"',
    ),
    Case(
        "wire to a plug as a whole",
        {"wires": ("CU.2,T2.1", "CU.2,T2")},
        ("wires", 5, "to"),
        '"T2" is a plug',
    ),
    Case(
        "wire to a joint's cavity",
        {"wires": ("T2.2,S1", "T2.2,S1.1")},
        ("wires", 6, "to"),
        'joint "S1" has no cavities',
    ),
    Case(
        "wire to a device",
        {"wires": ("CU.2,T2.1", "CU.2,TS.1")},
        ("wires", 5, "to"),
        '"TS.1" is on a device',
    ),
    Case(
        "wire to itself",
        {"wires": ("W6,BP,X2.1", "W6,X2.1,X2.1")},
        ("wires", 7, "to"),
        '"X2.1" is where the wire also begins',
    ),
    Case(
        "cable in a plug",
        {"wires": ("CU.4,E1,BN,1.5,30,0.25", "CU.4,E1,BN,40,,")},
        ("wires", 9, "section_mm2"),
        '"40" mm² does not fit a plug',
    ),
    Case(
        "radius for diameter",
        {"wires": ("W8,CU.4,E1,BN,1.5,30,0.25", "W8,CU.4,E1,BN,1.5,30,0.125")},
        ("wires", 9, "section_mm2"),
        '"1.5" mm² does not agree with 30 strands of 0.125 mm',
    ),
    Case(
        "plug on itself",
        {"plugs": ("wire,NTC1", "wire,T1")},
        ("plugs", 3, "mates_with"),
        '"T1" cannot fit onto itself',
    ),
    Case(
        "half of another",
        {"plugs": ("mating,X2,", "mating,T2,")},
        ("plugs", 5, "mates_with"),
        '"T2" mates with "TS", not with "X1"',
    ),
    Case(
        "two plugs on a pin",
        {"plugs": ("T2,Throttle switch plug,1 2,mating,TS", "T2,,2,mating,TS\nT3,,1 2,mating,TS")},
        ("plugs", 5, "mates_with"),
        '"T3" and "T2" both meet pin "2" of "TS"',
    ),
    Case(
        "resistor of nothing",
        {"elements": ("resistor,50", "resistor,")},
        ("elements", 4, "ohm"),
        'resistor "SUP" has no ohm',
    ),
    Case(
        "thermistor of nothing",
        {"elements": ("thermistor,,NTC", "thermistor,2500,")},
        ("elements", 5, "curve"),
        'thermistor "TH1" has no curve',
    ),
    Case(
        "element in a ring",
        {"elements": ("SW1,TS,1,2", "SW1,TS,1,1")},
        ("elements", 6, "to_pin"),
        '"1" is the pin at both ends of "SW1"',
    ),
    Case(
        "pull-up to nothing",
        {"elements": ("IN2,ECU,2,4,input,,,,1000,5", "IN2,ECU,2,4,input,,,,1000,")},
        ("elements", 3, "pull_up_v"),
        '"IN2" has pull_up_ohm but no pull_up_v',
    ),
    Case(
        "supply behind nothing",
        {"elements": ("IN2,ECU,2,4,input,,,,1000,5", "IN2,ECU,2,4,input,,,,,5")},
        ("elements", 3, "pull_up_ohm"),
        '"IN2" has pull_up_v but no pull_up_ohm',
    ),
    Case(
        "one point",
        {"fuelling": ("NTC,-10,1.9\nNTC,20,1.3\n", "")},
        ("fuelling", 2, "curve"),
        'curve "NTC" has one point only',
    ),
    Case(
        "one temperature twice",
        {"fuelling": ("NTC,20,1.3", "NTC,80,1.3")},
        ("fuelling", 4, "temperature_c"),
        '"80" °C is there twice in curve "NTC"',
    ),
    Case(
        "rising with heat",
        {"curves": ("NTC,80,330", "NTC,80,3300")},
        ("curves", 4, "ohm"),
        '"3300" Ω at 80 °C is not below 2500 Ω at 20 °C',
    ),
    Case(
        "reading at nothing",
        {"readings": ("volt,ECU.3", "volt,EVU.3")},
        ("readings", 4, "plus"),
        'there is no plug or device "EVU"',
    ),
    Case(
        "reading at no pin",
        {"readings": ("volt,ECU.3", "volt,ECU.33")},
        ("readings", 4, "plus"),
        'device "ECU" has no pin "33"',
    ),
    Case(
        "reading at a whole device",
        {"readings": ("volt,ECU.3", "volt,ECU")},
        ("readings", 4, "plus"),
        '"ECU" is a device',
    ),
    Case(
        "both probes together",
        {"readings": ("volt,ECU.3", "volt,E1")},
        ("readings", 4, "minus"),
        '"E1" is where the red probe was, too',
    ),
    Case(
        "ohms under power",
        {"readings": ("key=off; throttle=open", "key=on; throttle=open")},
        ("readings", 3, "state"),
        'ohms cannot be read with a supply on, and key is "on"',
    ),
    Case(
        "ohms below nothing",
        {"readings": ("2710", "-27.1")},
        ("readings", 2, "value"),
        '"-27.1" Ω is not possible',
    ),
    Case(
        "range twice",
        {"meters": ("DMM,ohm,4000", "DMM,ohm,400")},
        ("meters", 3, "full_scale"),
        'the 400 ohm range of "DMM" is there twice',
    ),
    Case(
        "strands out of nothing",
        {"survey": ("W1,strands,2,20", "W1,strands,2,25")},
        ("survey", 3, "strands_left"),
        '"25" strands cannot be left of the 24 of wire "W1"',
    ),
    Case(
        "sections the wrong way round",
        {"catalogue": ("receptacle,0.5,1,", "receptacle,1,0.5,")},
        ("catalogue", 2, "section_max_mm2"),
        '"0.5" mm² is below the section_min_mm2 of 1 mm²',
    ),
    Case(
        "bore the wrong way round",
        {"catalogue": ("3.5,7", "7,3.5")},
        ("catalogue", 3, "bore_max_mm"),
        '"3.5" mm is below the bore_mm of 7 mm',
    ),
    Case(
        "unknown die",
        {"catalogue": (",,,NEST\n", ",,,NETS\n")},
        ("catalogue", 2, "die"),
        'there is no die "NETS"',
    ),
    Case(
        "die that is a boot",
        {"catalogue": (",,,NEST\n", ",,,BOOT\n")},
        ("catalogue", 2, "die"),
        '"BOOT" is a boot',
    ),
    Case(
        "part twice",
        {"catalogue": ("BOOT,boot", "REC,boot")},
        ("catalogue", 3, "part"),
        '"REC" is there twice, first in row 2',
    ),
    Case(
        "pull of a crimp not pulled",
        {"crimps": ("1.33,1.83,,not", "1.33,1.83,95,not")},
        ("crimps", 3, "failed_at"),
        '"not pulled" stands beside a pull of 95 N',
    ),
    Case(
        "two wires in one set-up",
        {"crimps": ("K2,S1,flat 2.8,0.75", "K2,S1,flat 2.8,1")},
        ("crimps", 3, "section_mm2"),
        '"1" differs from "0.75" in row 2 of the same set-up "S1"',
    ),
    Case(
        "trial twice",
        {"crimps": ("K3,S2", "K1,S2")},
        ("crimps", 4, "trial"),
        '"K1" is there twice, first in row 2',
    ),
)

LIGHT = (
    Case(
        "wire named as a plug",
        {"wires": ("W6,BP", "CU,BP")},
        ("wires", 7, "wire"),
        '"CU" is also the name of a plug',
        warning=True,
    ),
    Case(
        "device somewhere else",
        {"devices": ("Engine sensor,engine", "Engine sensor,motor")},
        ("devices", 3, "place"),
        'no branch ends at a place "motor"',
        warning=True,
    ),
    Case(
        "same ends",
        {"wires": ("W3,S1,E1,BN,1.5,30,0.25,400,\n", "W3,S1,E1,,,,,,\nW33,E1,S1,,,,,,\n")},
        ("wires", 5, "wire"),
        '"W33" has the same ends as "W3" in row 4',
        warning=True,
    ),
    Case(
        "double crimp",
        {"wires": ("T2.2,S1", "T2.2,T1.2")},
        ("wires", 6, "to"),
        'wires "W2" and "W5" share cavity "T1.2"',
        warning=True,
    ),
    Case(
        "odd section",
        {"wires": ("W8,CU.4,E1,BN,1.5", "W8,CU.4,E1,BN,2.5")},
        ("wires", 9, "section_mm2"),
        '"2.5" mm² does not agree with 30 strands of 0.25 mm, which make 1.47 mm²',
        warning=True,
    ),
    Case(
        "half told on one side",
        {"plugs": ("mating,X1,", "mating,,")},
        ("plugs", 5, "mates_with"),
        '"X2" does not name "X1" as its other half',
        warning=True,
    ),
    Case(
        "spare device",
        {"devices": ("TS,Throttle", "AAV,,,,\nTS,Throttle")},
        ("devices", 4, "device"),
        'no plug mates with "AAV"',
        warning=True,
    ),
    Case(
        "pin out of reach",
        {"elements": ("SW1,TS,1,2", "SW2,TS,1,9,link,,,,,\nSW1,TS,1,2")},
        ("elements", 6, "to_pin"),
        'no cavity meets pin "9" of "TS"',
        warning=True,
    ),
    Case(
        "cavity on nothing",
        {"wires": ("W8,CU.4,E1,BN,1.5,30,0.25,900,B1\n", "W8,CU.4,E1,,,,,,\nW9,CU.6,E1,,,,,,\n")},
        ("wires", 10, "from"),
        '"ECU" has nothing at "6" to meet "CU.6"',
        warning=True,
    ),
    Case(
        "idle joint",
        {"joints": ("BP,battery_plus,bulkhead,Battery post\n", "BP,battery_plus,,\nE2,earth,,\n")},
        ("joints", 5, "joint"),
        'no wire ends at "E2"',
        warning=True,
    ),
    Case(
        "winding of nothing",
        {"elements": ("resistor,50", "winding,")},
        ("elements", 4, "ohm"),
        'winding "SUP" has no ohm',
        warning=True,
    ),
    Case(
        "contact for ever open",
        {"elements": ("throttle=shut", ""), "readings": ("key=off; throttle=open", "key=off")},
        ("elements", 6, "closed_when"),
        'contact "SW1" has no closed_when',
        warning=True,
    ),
    Case(
        "curve of a resistor",
        {"elements": ("resistor,50,,", "resistor,50,NTC,")},
        ("elements", 4, "curve"),
        '"SUP" is a resistor, so its curve is not used',
        warning=True,
    ),
    Case(
        "spare curve",
        {"curves": ("NTC,80,330,10\n", "NTC,80,330,10\nAIR,0,9000,\nAIR,50,700,\n")},
        ("curves", 5, "curve"),
        'no element uses curve "AIR"',
        warning=True,
    ),
    Case(
        "state that nothing depends on",
        {"readings": ("key=off; throttle=open", "key=off; trottle=open")},
        ("readings", 3, "state"),
        'nothing in the loom depends on "trottle"',
        warning=True,
    ),
    Case(
        "sensor of unknown warmth",
        {"readings": ("key=off; engine_c=18", "key=off")},
        ("readings", 2, "state"),
        '"R1" is on the circuit of "NTC1", whose temperature engine_c is not given',
        warning=True,
    ),
    Case(
        "meter without such a range",
        {"meters": ("DMM,volt,40,0.5,2,0.01,\n", "")},
        ("readings", 4, "meter"),
        '"DMM" has no range for volt',
        warning=True,
    ),
    Case(
        "beyond all ranges",
        {"readings": ("2710", "27100")},
        ("readings", 2, "meter"),
        '27100 is beyond the largest range of "DMM", 4000',
        warning=True,
    ),
    Case(
        "strands of a plug",
        {"survey": ("T1,boot,3,,", "T1,boot,3,5,")},
        ("survey", 2, "item"),
        '"T1" is not a wire, so it has no strands',
        warning=True,
    ),
    Case(
        "offer of a part that is not in the catalogue",
        {"offers": ("F1,FAR,WIRE", "F1,FAR,WIER")},
        ("offers", 4, "part"),
        'the catalogue holds no part "WIER"',
        warning=True,
    ),
    Case(
        "stock of a part that is not in the catalogue",
        {"stock": ("REC,,6", "RECC,,6")},
        ("stock", 2, "part"),
        'the catalogue holds no part "RECC"',
        warning=True,
    ),
    Case(
        "wire without its colour",
        {"stock": ("WIRE,BN,1.5", "WIRE,,1.5")},
        ("stock", 3, "colour"),
        '"WIRE" is given in metres, but without its colour',
        warning=True,
    ),
    Case(
        "large pack at the price of a piece",
        {"offers": ("REC,50,piece,15", "REC,50,piece,0.3")},
        ("offers", 3, "price"),
        'a pack of 50 for "0.3" costs less than one of 10 for 4.5',
        warning=True,
    ),
    Case(
        "work on an item that is gone",
        {"tasks": ("D2,T1,record", "D2,T9,record")},
        ("tasks", 3, "item"),
        'there is no plug or wire or joint or device or branch "T9"',
        warning=True,
    ),
    Case(
        "break without a force",
        {"crimps": (",118,wire", ",,wire")},
        ("crimps", 2, "pull_n"),
        '"wire" gave way, but the force is not given',
        warning=True,
    ),
)

GRAVE += AROUND_GRAVE
LIGHT += AROUND_LIGHT
CASES = GRAVE + LIGHT
