"""What the figures show, held against the dataset. Run by tests/behaviour/python_package.cpp."""
import os
import pathlib
import sys
import tempfile

import numpy

import plenair
from plenair import drawing

source = pathlib.Path(sys.argv[1])
case = (source / "cases/shipped/v6-bank/case.toml").read_text()
curve = """
[[curve]]
name = "full"
from = "4000 rpm"
to = "8000 rpm"
steps = 3
pressure = "99 kPa abs"
temperature = "300 K"
exhaust_pressure = "110 kPa abs"
"""
quick = {"model.cells": "largest cell 100 mm", "model.tolerance": 1e-3}
result = plenair.solve(case + curve, set=quick, bands=True)
single = ["C1", "C2", "C3"]
rpm = result.speed.values * 30 / numpy.pi


def refused(kind, figure, *words, **named):
    try:
        figure(*words, **named)
    except kind as error:
        return str(error)
    raise AssertionError("drawn")


def legend(ax):
    return [text.get_text() for text in ax.get_legend().get_texts()]


def near(a, b):
    """Equal but for the rounding of units."""
    numpy.testing.assert_allclose(a, b, rtol=1e-12, atol=1e-12)


# The colours are those of the report.
report = (source / "cases/report/svg/curve.cpp").read_text()
assert all(f'"{colour}"' in report for colour in drawing.colours)

# Without matplotlib a figure says what to install; nothing else of the package asks for it.
assert "matplotlib" not in sys.modules
sys.modules["matplotlib"] = None
assert "python3-matplotlib" in refused(ImportError, plenair.plot_air, result, points="C1")
del sys.modules["matplotlib"]
try:
    import matplotlib
except ImportError:
    print("figures: SKIPPED, python3-matplotlib is not installed (scripts/setup.sh dev)")
    sys.exit()
matplotlib.use("Agg")
matplotlib.rcParams["figure.max_open_warning"] = 0
from matplotlib import pyplot  # noqa: E402

# Air of each cylinder: a bar a point and cylinder, and its band.
ax = plenair.plot_air(result, points=single)
assert len(ax.containers) == 2 * len(single)  # bars, and their error bars
bars = [c for c in ax.containers if hasattr(c, "patches")]
for name, group in zip(single, bars):
    one = result.sel(point=name)
    near([bar.get_height() for bar in group], 100 * one.bias)
    half = 100 * float(one.bias_band)
    assert half > 0
    for (low, high), bias in zip(group.errorbar[2][0].get_segments(), 100 * one.bias.values):
        near([low[1], high[1]], [bias - half, bias + half])
assert ax.get_ylabel() == "share x number of cylinders - 1, %\nwith its band at 95 %"
assert ax.get_xlabel() == "cylinder" and [t.get_text() for t in ax.get_xticklabels()] == ["1", "2", "3"]
assert legend(ax) == [f"{name}, {speed:.0f} rpm" for name, speed in zip(single, rpm)]
assert ax.get_title(loc="left") == "V6, one bank, centre feed"
given = pyplot.subplots()[1]
assert plenair.plot_air(result.sel(point="C2"), along_x=True, ax=given) is given
assert len(given.patches) == 3 and given.get_title(loc="left") == ""
assert "there are C1, C2" in refused(ValueError, plenair.plot_air, result, points=["C9"])
without = plenair.plot_air(result.assign(bias_band=0 * result.bias_band), points="C1")
assert without.get_ylabel() == "share x number of cylinders - 1, %" and len(without.containers) == 1

# Over speed: the curve is joined, points are marks; its band.
ax = plenair.plot_speed(result)
joined = result.point_curve.values == "full"
curved, marks = (c.lines[0] for c in ax.containers)
assert legend(ax) == ["full", "single points"]
near(curved.get_xdata(), rpm[joined])
near(curved.get_ydata(), 100 * result.spread[joined])
near(marks.get_ydata(), 100 * result.spread[~joined])
assert curved.get_linestyle() == "-" and marks.get_linestyle() == "None"
near(ax.collections[0].get_datalim(ax.transData).max[1],
     100 * float((result.spread + result.spread_band)[joined].max()))
assert [text.get_text() for text in ax.texts] == single
assert ax.get_xlabel() == "crankshaft speed, rpm"
assert ax.get_ylabel() == "largest minus smallest bias, %\nwith its band at 95 %"
ax = plenair.plot_speed(result, "air_flow", curve="full")
near(ax.containers[0].lines[0].get_ydata(), 1e3 * result.air_flow[joined])
assert ax.get_ylabel() == "dry air through the throttle, g/s\nwith its band at 95 %"
ax = plenair.plot_speed(result, "bias", curve="full")
assert legend(ax) == [f"cylinder {n}, full" for n in (1, 2, 3)]
near(ax.containers[2].lines[0].get_ydata(), 100 * result.bias[joined, 2])
ax = plenair.plot_speed(result, "volumetric_efficiency")
assert ax.get_ylabel() == "air over swept volume at the source state"
assert "holds no nothing; it holds" in refused(ValueError, plenair.plot_speed, result, "nothing")
for name in ("notes", "plenum_pressure_mean", "bank_name"):
    assert "no number of the points" in refused(ValueError, plenair.plot_speed, result, name)
bare = result.assign(no_slot_spread=0 * result.no_slot_spread)
assert "not computed" in refused(ValueError, plenair.plot_speed, bare, "no_slot_spread")
assert "curve part" in refused(ValueError, plenair.plot_speed, result, curve="part")

# Losses add up.
ax = plenair.plot_losses(result)
parts = ["throttle_loss", "slot_loss", "mouth_loss", "port_loss"]
for name, group in zip(parts, ax.containers):
    near([bar.get_width() for bar in group], 1e-3 * result[name])
near([bar.get_x() + bar.get_width() for bar in ax.containers[-1]], 1e-3 * sum(result[name] for name in parts))
assert legend(ax) == ["throttle", "slot", "bell mouths", "runner and port"]
assert [t.get_text() for t in ax.get_yticklabels()][2:4] == [f"C3, {rpm[2]:.0f} rpm", "full@4000"]
assert ax.get_xlabel() == "loss of total pressure, kPa"

# Along x.
ax = plenair.plot_slot_flow(result, points=["C1", "C3"])
near(ax.lines[1].get_xdata(), 1e3 * result.slot_1_x)
near(ax.lines[1].get_ydata(), result.slot_1_flow_per_length.sel(point="C3"))
assert ax.get_ylabel() == "cycle mean slot flow per length, g/s per mm"
ax = plenair.plot_pressure(result, "C2", swing=True)
assert legend(ax) == ["plenum", "pre-chamber"] and ax.get_legend().get_title().get_text().startswith("C2, ")
near(ax.lines[0].get_ydata(), 1e-3 * result.plenum_pressure_mean.sel(point="C2"))
near(ax.collections[1].get_datalim(ax.transData).max[1],
     1e-3 * float(result.pre_chamber_pressure_high.sel(point="C2").max()))
bench = plenair.bench(case, bands=False)
held = numpy.isfinite(bench.flow_per_length).any("slot_station").values
ax = plenair.plot_slot_flow(bench)
assert legend(ax) == list(bench.set_up.values[held])
near(ax.lines[0].get_ydata(), bench.flow_per_length[held][0])
ax = plenair.plot_pressure(bench, "all open")
near(ax.lines[0].get_ydata(), 1e-3 * bench.static_pressure.sel(set_up="all open"))
assert "holds no bias" in refused(ValueError, plenair.plot_air, bench)

# A point that did not converge is left out, and nothing is drawn where none did.
short = result.assign(converged=result.converged.where(result.point != "C2", 0))
assert len(plenair.plot_losses(short, points=single).patches) == 4 * 2
assert "converged" in refused(ValueError, plenair.plot_losses, short, points="C2")

# A sweep: marks at an entry of the case, or at another number.
swept = plenair.sweep(case, vary={"slot.width": ["8 mm", "10 mm", "12 mm"]}, set=quick)
ax = plenair.plot_sweep(swept, "slot.width")
assert legend(ax) == single and ax.get_xlabel() == "slot.width, mm"
near(ax.lines[1].get_xdata(), [8, 10, 12])
near(ax.lines[1].get_ydata(), 100 * swept.spread.sel(point="C2"))
ax = plenair.plot_sweep(swept, "slot_loss", points=["C3"])
near(ax.lines[0].get_xdata(), 1e-3 * swept.slot_loss.sel(point="C3"))
assert ax.lines[0].get_linestyle() == "None"
assert ax.get_xlabel() == "total pressure loss of the metering slot, kPa"
assert "pick one variant" in refused(ValueError, plenair.plot_losses, swept)
near(plenair.plot_losses(swept.sel(variant=3)).patches[0].get_width(), 1e-3 * swept.throttle_loss[2, 0])
assert "result of sweep" in refused(ValueError, plenair.plot_sweep, result, "slot.width")
assert "too many" in refused(ValueError, plenair.plot_air, result, points=[*result.point.values] * 2)
assert "pick one cylinder" in refused(ValueError, plenair.plot_sweep, swept, "slot.width", "bias")

# Each can be saved.
with tempfile.TemporaryDirectory() as folder:
    for number in pyplot.get_fignums()[:8]:
        path = os.path.join(folder, f"{number}.png")
        pyplot.figure(number).savefig(path, dpi=40)
        assert pathlib.Path(path).read_bytes().startswith(b"\x89PNG")
print("figures: all as in the dataset")
