"""The example objects of the file contract, word for word: what outside programs rely on."""

from __future__ import annotations

from typing import Final

WALL: Final = r"""
{
  "wall": "back",
  "bare_unit": "in",
  "datum_card": 1,
  "cards": [{"serial": 1, "print_job": "A", "standoff_mm": 0.5, "standoff_u_mm": 1.0,
             "print_check": [{"axis": "x", "nominal_mm": 170, "measured": "169.6 mm", "half_width_mm": 0.25},
                             {"axis": "y", "nominal_mm": 240, "measured": "239.5 mm", "half_width_mm": 0.25}]}],
  "rectangles": [{"name": "ID-1 card", "size_mm": [85.60, 53.98], "u_mm": [0.07, 0.03], "standoff_mm": 0.8, "edge_u_px": 0.3,
                  "corners": {"a.jpg": [[812.0, 2210.5], [998.2, 2214.1], [996.0, 2096.7], [810.9, 2093.3]]}}],
  "lens": ["profile.json"],
  "photos": [{"file": "a.jpg", "mark_sd_px": 1.0,
              "marks": {"left-low": [678.6, 3114.6], "valve": {"at": [1227.3, 2312.4], "sd_px": 0.6, "defined_mm": 0.5, "standoff_mm": 9.5, "standoff_u_mm": 1.0}}}],
  "level": ["line-a", "line-b"], "plumb": ["plumb-top", "plumb-low"],
  "dimensions": [{"name": "width low", "kind": "distance", "from": "left-low", "to": "right-low"},
                 {"name": "valve down", "kind": "to_line", "from": "valve", "line": ["line-a", "line-b"]}],
  "readings": [{"id": "r1", "dimension": "width low", "value": "59 7/8", "who": "A", "at": "2026-11-24T09:30:00Z",
                "instrument": {"kind": "tape", "id": "t1", "class": "II", "graduation": "1/16 in", "method": "hook to mark"}, "replaces": null}]
}
"""

REPORT: Final = r"""
{
  "points": {"left-low": {"x_mm": 0.0, "y_mm": 0.0, "z_mm": 0.4, "cov_mm2": [[1.2, 0, 0], [0, 1.1, 0], [0, 0, 6.0]], "photos": 2}},
  "dimensions": [{"name": "width low", "status": "agrees",
    "photo_mm": 1520.6, "photo_u_mm": 1.9, "photo_interval95_mm": [1516.9, 1524.3],
    "tape_mm": 1520.8, "tape_u_mm": 0.7,
    "expected_mm": 1520.7, "expected_u_mm": 1.1, "expected_interval95_mm": [1518.5, 1522.9], "en": 0.04, "w": 0.08, "mdb_mm": 5.4, "checked": true,
    "best_mm": 1520.8, "best_u_mm": 0.6, "best_interval95_mm": [1519.6, 1522.0], "suspect": null}],
  "readings": [{"id": "r1", "status": "agrees", "u_mm": 0.7}],
  "photos": [{"file": "a.jpg", "cards": [{"serial": 1, "corners": 24, "rms_px": 0.09}], "camera": {"f_px": 3028.9, "source": "exif"}, "advice": [{"code": "one-viewpoint", "text": "…"}]}],
  "intrinsics": [{"group": "…", "f_px": 3028.9, "posterior_over_prior": {"f": 0.31, "cx": 0.6, "cy": 0.7, "k1": 0.4}}],
  "adjustment": {"variance_factor": 1.02, "bounds": [0.7, 1.4], "degrees_of_freedom": 61, "iterations": 5, "datum": "level"},
  "gate": {"open": false, "blocking": [{"dimension": "height left", "why": "not taped"}]}
}
"""

PLAN: Final = r"""
{
  "job": {"name": "Example", "scope": "over tile"}, "practice": "practice.toml",
  "walls": [{"wall": "back", "reports": ["back.json"], "hold_down": "3/4",
             "line_to_deck": [{"at": "-14", "value": "66 1/16"}],
             "left":  [{"down": "16", "value": "29 9/16", "surface": "tile"}],
             "right": [{"down": "16", "value": "29", "surface": "tile"}],
             "surfaces": [{"from_down": "-1", "to_down": "15", "proud": "0", "do": "pack"}, {"from_down": "15", "to_down": null, "proud": "3/8", "do": "keep"}],
             "outer": {"from_plumb": "21 1/4", "finish": "return"},
             "fixtures": [{"name": "valve", "from_plumb": "4 1/16", "down": "51 1/16", "hole": "3 3/4"}]}],
  "top": {"above_line": "3/4", "to_ceiling": false},
  "pattern": {"tile": ["12", "12"], "joint": "1/8", "course": "stacked"},
  "stock": [{"name": "60 x 96", "size": ["60", "96"], "finished": ["top"], "price": "0.00"}], "prices": "prices.csv"
}
"""
