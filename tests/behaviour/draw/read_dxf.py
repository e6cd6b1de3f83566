"""Reads a DXF file with a general reader (ezdxf) and prints what it found as JSON."""

import json
import sys

import ezdxf

document = ezdxf.readfile(sys.argv[1])
auditor = document.audit()


def measured(dimension):
    value = dimension.get_measurement()
    return value.x if hasattr(value, "x") else value


def running(space):
    """Numbers of running dimensions, lines and upright text, with the x of the feature from that of 0."""
    found = []
    before = None
    for entity in space:
        upright = entity.dxftype() == "TEXT" and abs(entity.dxf.rotation - 90) < 1
        if upright and entity.dxf.layer == "DIMENSION" and before is not None:
            found.append((entity.plain_text(), before))
        before = None
        if entity.dxf.layer == "DIMENSION" and entity.dxftype() == "LINE":
            before = entity.dxf.start.x
        elif entity.dxf.layer == "DIMENSION" and entity.dxftype() == "LWPOLYLINE":
            before = list(entity.get_points("xy"))[0][0]
    datum = next((x for text, x in found if text == "0"), 0)
    return [{"text": text, "value": x - datum} for text, x in found]


space = document.modelspace()
dimensions = [
    {
        "kind": dimension.dimtype,
        "value": measured(dimension),
        "stated": dimension.dxf.get("actual_measurement"),
        "text": dimension.dxf.text,
        "from": list(dimension.dxf.get("defpoint2", (0, 0, 0)))[:2],
        "to": list(dimension.dxf.get("defpoint3", (0, 0, 0)))[:2],
        "lines": len(document.blocks.get(dimension.dxf.geometry)),
    }
    for dimension in space.query("DIMENSION")
]
json.dump(
    {
        "version": document.dxfversion,
        "units": document.units,
        "errors": [entry.message for entry in auditor.errors],
        "fixes": [entry.message for entry in auditor.fixes],
        "layers": [layer.dxf.name for layer in document.layers],
        "dimensions": dimensions,
        "running": running(space),
        "circles": [
            {"layer": c.dxf.layer, "x": c.dxf.center.x, "y": c.dxf.center.y, "r": c.dxf.radius}
            for c in space.query("CIRCLE")
        ],
        "arcs": [{"layer": a.dxf.layer, "r": a.dxf.radius} for a in space.query("ARC")],
        "outlines": [
            {"layer": p.dxf.layer, "closed": p.closed, "points": [list(q) for q in p.get_points("xy")],
             "bulges": [q[0] for q in p.get_points("b")]}
            for p in space.query("LWPOLYLINE")
        ],
        "texts": [t.plain_text() for t in space.query("TEXT")],
    },
    sys.stdout,
)
