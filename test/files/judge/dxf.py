# What ezdxf says of DXF files as written: release, no faults, closed polylines, and the area that
# their arcs and lines hold, beside the areas given.
#   dxf.py FILE AREA_MM2 ...   exit 1 where one is off
import math
import sys

import ezdxf


def area(points):
    total = 0.0
    for (x, y, bulge), (u, v, _) in zip(points, points[1:] + points[:1]):
        total += (x * v - y * u) / 2
        if bulge:
            angle = 4 * math.atan(bulge)
            radius = math.hypot(u - x, v - y) / (2 * math.sin(angle / 2))
            total += radius * radius * (angle - math.sin(angle)) / 2
    return total


bad = len(sys.argv) < 3
for path, want in zip(sys.argv[1::2], sys.argv[2::2]):
    drawing = ezdxf.readfile(path)
    audit = drawing.audit()
    faults = [str(e.message) for e in audit.errors + audit.fixes]
    rings = [e for e in drawing.modelspace() if e.dxftype() == "POLYLINE"]
    closed = all(e.is_closed and e.is_2d_polyline for e in rings)
    got = sum(area([(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in e.vertices]) for e in rings)
    ok = drawing.dxfversion == "AC1009" and not faults and closed and math.isclose(got, float(want), rel_tol=1e-6)
    print(path, len(rings), "rings, area", got, "given", want, faults, "" if ok else "<- off")
    bad = bad or not ok
sys.exit(1 if bad else 0)
