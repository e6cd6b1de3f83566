"""What the Python package says, held against the command line. Run by tests/behaviour/python_package.cpp."""
import json
import os
import pathlib
import subprocess
import sys
import tempfile
import warnings

import numpy

import plenair

source = pathlib.Path(sys.argv[1])
case = source / "cases/shipped/v6-bank/case.toml"
quick = {"model.cells": "largest cell 100 mm", "model.tolerance": 1e-3}


def command(*words):
    return subprocess.run([os.environ["PLENAIR"], *words], text=True, stdout=subprocess.PIPE, check=True).stdout


def refused(case_of_faults):
    try:
        plenair.check(case_of_faults)
    except plenair.PlenairError as error:
        return error
    raise AssertionError("accepted")


# solve: a path and its text give the same bits as the command line.
result = plenair.solve(case, set=quick, bands=False)
again = plenair.solve(case.read_text(), set=quick, bands=False, threads=1)
assert result.case_digest == again.case_digest
told = json.loads(command("solve", "--json", "--quiet", "--bands", "off", "--set",
                          "model.cells=largest cell 100 mm", "--set", "model.tolerance=1e-3", str(case)))
for point in told["points"]:
    one = result.sel(point=point["name"])
    assert float(one.air_flow) == point["air_flow_kg_s"]
    assert float(again.air_flow.sel(point=point["name"])) == point["air_flow_kg_s"]
    for cylinder in point["cylinders"]:
        share = float(one.share.sel(cylinder=cylinder["cylinder"]))
        assert share == cylinder["share"], (share, cylinder)
assert result.air_flow.attrs["units"] == "kg s-1"
assert result.bias.dims == ("point", "cylinder")
assert all("units" in variable.attrs for variable in result.data_vars.values())
assert result.attrs["case_text"].startswith("# One bank") or "format = 1" in result.attrs["case_text"]

# bench on a case given as a dictionary: 400 x 4 mm with Cd 0.62 at 200 Pa passes what the orifice law says,
# rho from 101.325 kPa and 293.15 K, less what the header takes (a few percent).
rig = {"format": 1,
       "pre_chamber": {"length": "400 mm", "area": "1963.5 mm2", "feed": "open"},
       "slot": {"x": "0 mm", "length": "400 mm", "width": "4 mm", "cd": 0.62},
       "bench": {"set_ups": ["slot"], "depression": "200 Pa"},
       "model": {"friction": "off", "jet": "off"}}
flow = float(plenair.bench(rig).flow.sel(set_up="slot"))
ideal = 0.62 * 1.6e-3 * numpy.sqrt(2 * 1.204 * 200)
assert 0.9 * ideal < flow < 1.02 * ideal, (flow, ideal)

# sweep by a list, and over a range.
swept = plenair.sweep(case, vary={"slot.width": ["8 mm", "12 mm"]}, set=quick)
assert swept.sizes["variant"] == 2
assert bool((swept.slot_loss[0] > swept.slot_loss[1]).all())
assert all(isinstance(note, str) for note in swept.notes.values.ravel())
assert plenair.sweep(case, vary={"slot.width": {"from": "8 mm", "to": "12 mm", "steps": 3}},
                     set=quick).sizes["variant"] == 3

# Faults carry the messages of the reader, with the remedy, all of them.
error = refused({"format": 1, "slot": {"x": "0 mm", "length": "400 mm", "width": 6, "cd": 0.6},
                 "pre_chamber": {"length": "400 mm", "area": "1963.5 mm2", "feeed": "open"}})
assert error.status == 2 and len(error.messages) == 2, error.messages
assert error.messages[0].startswith("case.toml:"), error.messages
assert any('write "6 mm"' in message for message in error.messages)
for wrong in (3, {"format": {"a": object()}}):
    try:
        plenair.check(wrong)
        raise AssertionError("accepted")
    except TypeError as error:
        assert "case" in str(error)

# A point that does not converge is no result, and is said to be none.
with warnings.catch_warnings(record=True) as caught:
    warnings.simplefilter("always")
    short = plenair.solve(case, set={**quick, "model.max_cycles": 3, "model.tolerance": 1e-9}, bands=False)
assert any(issubclass(w.category, plenair.NotConverged) for w in caught)
assert int(short.converged.sum()) == 0

# start and check; a result file that was kept.
text = plenair.start(cylinders=3, bore="84 mm", stroke="90 mm", valve_head="32 mm")
assert "valve.intake.head" not in {entry["entry"] for entry in plenair.check(text)["assumed"]}
with tempfile.TemporaryDirectory() as folder:
    kept = pathlib.Path(folder, "kept.h5")
    command("solve", "--quiet", "--bands", "off", "-o", str(kept), str(case))
    assert plenair.load(kept).sizes["point"] == 3
print("python package: all as on the command line")
